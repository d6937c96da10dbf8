"""What the tests need beside Python: told apart whether it is there."""

import pytest

from shop.launch.debian import NEEDED, Libraries, Program


@pytest.mark.usefixtures("chromium", "pango")
def test_what_other_tests_run_with_is_found_here() -> None:
    assert NEEDED["chromium"].is_there()
    assert NEEDED["pango"].is_there()


def test_a_program_that_no_machine_has_is_missed() -> None:
    assert not Program(names=("no-such-program",), package="none").is_there()


def test_one_library_or_file_that_no_machine_has_is_missed() -> None:
    assert Libraries(names=("c",), packages=()).is_there()
    assert not Libraries(names=("c", "no-such-library"), packages=()).is_there()
    assert not Libraries(names=("c",), packages=(), files=("/no/such/font.ttf",)).is_there()
