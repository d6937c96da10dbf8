from argparse import ArgumentTypeError

import pytest

from shop.launch.start import DEFAULT_PORT, parse, port_number


def test_without_options_it_serves_on_the_usual_port_and_keeps_the_data() -> None:
    options = parse([])
    assert (options.port, options.fresh) == (DEFAULT_PORT, False)


@pytest.mark.parametrize("text", ["1", "8000", "65535"])
def test_a_port_is_taken_as_it_is_given(text: str) -> None:
    assert port_number(text) == int(text)


@pytest.mark.parametrize("text", ["0", "65536", "-1", "80a", "", "８０"])
def test_what_is_no_port_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ArgumentTypeError, match="is no port; a port is a number from 1 to 65535"):
        port_number(text)
