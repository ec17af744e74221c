"""Reads a message with Python's `email` and prints what it holds as JSON: an independent reader of our messages.

    python3 tests/python/read_mail.py FILE
"""

import email
import email.policy
import hashlib
import json
import sys

with open(sys.argv[1], "rb") as file:
    message = email.message_from_binary_file(file, policy=email.policy.default)


def structure(part):
    if part.is_multipart():
        return {part.get_content_type(): [structure(inner) for inner in part.iter_parts()]}
    return part.get_content_type()


defects = [str(defect) for part in message.walk() for defect in part.defects]
print(json.dumps({
    "headers": [name for name in message.keys()],
    "from": message["From"].addresses[0].addr_spec,
    "from_name": message["From"].addresses[0].display_name,
    "to": [address.addr_spec for address in message["To"].addresses],
    "subject": message["Subject"],
    "message_id": message["Message-ID"],
    "date": message["Date"].datetime.isoformat(),
    "unsent": message["X-Unsent"],
    "structure": structure(message),
    "text": message.get_body(("plain",)).get_content(),
    "html": message.get_body(("html",)).get_content(),
    "attached": [
        {"name": part.get_filename(), "type": part.get_content_type(),
         "sha256": hashlib.sha256(part.get_payload(decode=True)).hexdigest()}
        for part in message.iter_attachments()
    ],
    "defects": defects,
    "longest_line": max(len(line) for line in open(sys.argv[1], "rb").read().split(b"\r\n")),
}))
