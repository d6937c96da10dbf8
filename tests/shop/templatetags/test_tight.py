"""Blank lines between tags go, and nothing else does."""

import pytest
from django.template import Context, Template


@pytest.mark.parametrize(
    ("inside", "tightened"),
    [
        ("<li>\n\n   <a>one</a>\n   <a>two</a>\n</li>", "<li><a>one</a> <a>two</a></li>"),
        ("<div>\n  <p>one</p> <p>two</p>\n</div> <b>a</b>", "<div><p>one</p><p>two</p></div><b>a</b>"),
        ("<p>two  words\n\n here</p>", "<p>two  words\n\n here</p>"),
        ("<textarea>\n  </textarea>", "<textarea>\n  </textarea>"),
        ("<b>a</b> <b>c</b><b>d</b>", "<b>a</b> <b>c</b><b>d</b>"),
        ("{{ typed }}", "&lt;b&gt;  &lt;i&gt;"),
    ],
)
def test_it_leaves_one_blank_between_tags_none_beside_blocks_and_all_else_alone(inside: str, tightened: str) -> None:
    template = Template("{% load tight %}{% tight %}" + inside + "{% endtight %}")
    assert template.render(Context({"typed": "<b>  <i>"})) == tightened
