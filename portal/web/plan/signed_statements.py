"""What a side states when it signs."""

from portal.wording.catalogue import Words, mark

STATEMENTS = Words(
    {
        "1 band": mark(
            "I have read this plan for the band. We bring, plug and provide what it says. When something changes that"
            " somebody plugs, brings, hears or ticks, this signature no longer covers the plan."
        ),
        "1 house": mark(
            "I have read this plan for the house. We bring, plug and provide what it says. When something changes that"
            " somebody plugs, brings, hears or ticks, this signature no longer covers the plan."
        ),
        "2 band": mark(
            "I have read this plan for the band. The band brings, plugs and provides what it says. Once the plan"
            " changes in what somebody plugs, brings, hears or ticks, it has to be signed again."
        ),
        "2 house": mark(
            "I have read this plan for the house. The house brings, plugs and provides what it says. Once the plan"
            " changes in what somebody plugs, brings, hears or ticks, it has to be signed again."
        ),
    }
)
"""Every statement that was ever signed, by its version and side. A version's words never change, in any language."""
STATEMENT = "2"
