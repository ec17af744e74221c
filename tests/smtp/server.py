"""A mail server on loopback that fails on demand. Uses aiosmtpd (pip install aiosmtpd) and openssl for its certificate.

    python3 tests/smtp/server.py FOLDER MODE [SEED]

Prints `PORT TLS_PORT` once it listens (STARTTLS on the first, TLS from the first byte on the second), writes its root
certificate to FOLDER/ca.pem, every message it takes to FOLDER/N.eml and its Message-ID to FOLDER/taken (before it
answers). Ends when its input is closed. MODE is one of MODES; `random` draws one a connection.
"""

import asyncio
import email
import os
import random
import ssl
import subprocess
import sys

from aiosmtpd.smtp import SMTP, AuthResult

MODES = [
    "fine",          # takes everything
    "no-starttls",   # does not offer STARTTLS
    "auth-535",      # refuses the password
    "rcpt-550",      # refuses the recipient
    "data-451",      # refuses the message for now, after the body
    "data-552",      # refuses the message as too large, after the body
    "silent-hello",  # says nothing at all
    "silent-end",    # takes the body and says nothing
    "cut-hello",     # cuts the connection at once
    "cut-rcpt",      # cuts the connection at the recipient
    "cut-body",      # cuts the connection in the middle of the body, takes nothing
    "cut-end",       # cuts the connection after the body, takes nothing
    "cut-taken",     # takes the message, cuts the connection before it says so
]
RANDOM = [mode for mode in MODES if mode not in ("no-starttls", "silent-hello", "silent-end")] + ["fine"] * 3


def certificate(folder):
    ca, key, crt = (os.path.join(folder, name) for name in ("ca.pem", "key.pem", "crt.pem"))
    run = lambda *args: subprocess.run(["openssl", *args], check=True, capture_output=True, cwd=folder)
    run("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", "3650", "-subj", "/CN=test root",
        "-addext", "basicConstraints=critical,CA:TRUE", "-keyout", "ca.key", "-out", "ca.pem")
    run("req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-subj", "/CN=localhost", "-keyout", "key.pem", "-out", "csr.pem")
    with open(os.path.join(folder, "ext"), "w") as file:
        file.write("subjectAltName=DNS:localhost\nbasicConstraints=CA:FALSE\n")
    run("x509", "-req", "-in", "csr.pem", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-days", "3650",
        "-extfile", "ext", "-out", "crt.pem")
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(crt, key)
    return context


class Handler:
    def __init__(self, folder):
        self.folder = folder
        self.count = 0

    def take(self, content):
        self.count += 1
        with open(os.path.join(self.folder, f"{self.count}.eml"), "wb") as file:
            file.write(content)
        message_id = email.message_from_bytes(content)["Message-ID"]
        with open(os.path.join(self.folder, "taken"), "a") as file:
            file.write(message_id + "\n")
            file.flush()
            os.fsync(file.fileno())

    async def handle_RCPT(self, server, session, envelope, address, options):
        if server.mode == "rcpt-550":
            return "550 5.1.1 no such mailbox"
        if server.mode == "cut-rcpt":
            server.transport.abort()
            return "421 gone"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        mode = server.mode
        if mode == "data-451":
            return "451 4.3.0 try again later"
        if mode == "data-552":
            return "552 5.3.4 message too large"
        if mode == "cut-end":
            server.transport.abort()
            return "421 gone"
        if mode == "silent-end":
            await asyncio.sleep(3600)
        self.take(envelope.original_content)
        if mode == "cut-taken":
            server.transport.abort()
            return "421 gone"
        return "250 OK: taken"


class Faulty(SMTP):
    def __init__(self, *args, mode, **kwargs):
        self.mode = mode
        super().__init__(*args, **kwargs)

    async def _handle_client(self):
        if self.mode == "cut-hello" and self.session.ssl is None:
            self.transport.abort()
            return
        if self.mode == "silent-hello":
            await asyncio.sleep(3600)
        await super()._handle_client()

    async def smtp_DATA(self, arg):
        if self.mode == "cut-body":
            await self.push("354 go on")
            await self._reader.read(100)
            self.transport.abort()
            return
        await super().smtp_DATA(arg)


def authenticator(mode):
    def check(server, session, envelope, mechanism, data):
        right = (data.login, data.password) == (b"claims", b"correct horse")
        return AuthResult(success=right and mode != "auth-535", handled=False)
    return check


async def main(folder, mode, seed):
    context = certificate(folder)
    handler = Handler(folder)
    draw = random.Random(seed)
    loop = asyncio.get_running_loop()

    def protocol(implicit):
        chosen = draw.choice(RANDOM) if mode == "random" else mode
        starttls = not implicit and chosen != "no-starttls"
        return Faulty(handler, mode=chosen, hostname="localhost", loop=loop,
                      tls_context=context if starttls else None, require_starttls=starttls,
                      auth_required=chosen != "no-starttls", auth_require_tls=starttls,
                      authenticator=authenticator(chosen), timeout=60)

    plain = await loop.create_server(lambda: protocol(False), "127.0.0.1", 0)
    secure = await loop.create_server(lambda: protocol(True), "127.0.0.1", 0, ssl=context)
    ports = [server.sockets[0].getsockname()[1] for server in (plain, secure)]
    print(*ports, flush=True)
    await loop.run_in_executor(None, sys.stdin.read)
    os._exit(0)


asyncio.run(main(sys.argv[1], sys.argv[2], int(sys.argv[3]) if len(sys.argv) > 3 else 0))
