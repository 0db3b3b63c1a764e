"""A program that edits as one of several people: reads a form, adds one to what it shows, saves. A refusal is read and
tried again.
"""

import re
import secrets
import sys
from contextlib import closing
from http.client import HTTPConnection
from urllib.parse import urlencode


def main(address: str, cookie: str, rig_id: str, edits: int) -> None:
    host = address.removeprefix("http://")
    page = f"/rigs/{rig_id}/name"
    acknowledged = refused = others = 0
    with closing(HTTPConnection(host, timeout=60)) as connection:
        while acknowledged < edits:
            connection.request("GET", page, headers={"Cookie": cookie})
            html = connection.getresponse().read().decode()
            name = re.search(r'name="name"[^>]*value="[^"0-9]*([0-9]+)"', html) or re.search(
                r'value="[^"0-9]*([0-9]+)"[^>]*name="name"', html
            )
            version = re.search(r'name="form_version" value="([0-9]+)"', html)
            sent = {
                "name": f"Rig {int(name[1]) + 1}",
                "form_version": version[1],
                "form_key": secrets.token_urlsafe(16),
            }
            headers = {"Cookie": cookie, "Origin": address, "Content-Type": "application/x-www-form-urlencoded"}
            connection.request("POST", page, urlencode(sent), headers)
            answer = connection.getresponse()
            answer.read()
            acknowledged += answer.status == 303
            refused += answer.status == 409
            others += answer.status not in {303, 409}
            assert others < 5, answer.status
    sys.stdout.write(f"{acknowledged} {refused} {others}\n")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4]))
