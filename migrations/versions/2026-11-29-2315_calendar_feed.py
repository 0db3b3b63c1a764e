"""Secret addresses by which calendars read a band's gigs."""

from alembic import op

revision = "2026_11_29_2315"
down_revision = "2026_11_29_2300"


def upgrade() -> None:
    op.execute(
        "CREATE TABLE calendar_feed ( "
        "user_id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, token_hash VARCHAR NOT NULL, created DATETIME NOT NULL,"
        " CONSTRAINT pk_calendar_feed PRIMARY KEY (user_id),"
        " CONSTRAINT fk_calendar_feed_user_id FOREIGN KEY(user_id) REFERENCES user (id),"
        " CONSTRAINT fk_calendar_feed_band_id FOREIGN KEY(band_id) REFERENCES band (id),"
        " CONSTRAINT uq_calendar_feed_token_hash UNIQUE (token_hash) "
        ")"
    )
