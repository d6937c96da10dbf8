import base64
import hashlib

from hulls.tokens import new_token, token_hash


def test_a_token_carries_128_bits_and_fits_an_address() -> None:
    token = new_token()
    assert len(base64.urlsafe_b64decode(token + "==")) * 8 == 128
    assert token.replace("-", "").replace("_", "").isalnum()


def test_no_two_tokens_are_alike() -> None:
    assert len({new_token() for _ in range(1000)}) == 1000


def test_what_is_kept_is_the_sha_256_of_it() -> None:
    # FIPS 180-2, appendix B.1: the digest of "abc"
    assert token_hash("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert token_hash("abc") == hashlib.sha256(b"abc").hexdigest()
