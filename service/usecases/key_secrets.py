"""The secret of an API key: `tk_`, a prefix to find the key by, and 256 random bits."""

import hashlib
import secrets
from typing import NamedTuple

PREFIX_BYTES = 6
SECRET_BYTES = 32
MARK = "tk_"


class Secret(NamedTuple):
    """`prefix` may be shown; `text` is what the caller sends."""

    prefix: str
    text: str

    @property
    def sha256(self) -> str:
        """A slow hash is for what people choose; 256 random bits cannot be guessed."""
        return hashlib.sha256(self.text.encode(errors="backslashreplace")).hexdigest()


def new_secret() -> Secret:
    prefix = MARK + secrets.token_hex(PREFIX_BYTES)
    return Secret(prefix, f"{prefix}_{secrets.token_urlsafe(SECRET_BYTES)}")


def secret_of(text: str) -> Secret:
    """Any text as a secret; what is no secret has a prefix that no key has."""
    return Secret(text[: len(MARK) + 2 * PREFIX_BYTES], text)
