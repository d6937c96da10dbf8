"""Whether the dimensions of a row are those of a canoe, with all that is wrong and not the first thing only."""

from django.utils.translation import gettext as _

from hulls.lines import LinesError, Principal

# Where one dimension is missing or wrong, a stand-in lets the others still be judged. These are such that no other
# dimension within its own limits offends against them.
STAND_INS = {"length_m": 10.7, "beam_m": 1.0, "depth_m": 0.15, "end_depth_m": 1.0}


def wrong_dimensions(measured: dict[str, float]) -> dict[str, str]:
    """Check the dimensions of one hull.

    Parameters
    ----------
    measured
        Those that could be read, by their name in `Principal`, in metres.

    Returns
    -------
    dict of str
        By name of the dimension, a sentence on what is wrong with it.
    """
    wrong: dict[str, str] = {}
    while True:
        sound = {name: value for name, value in measured.items() if name not in wrong}
        if "depth_m" not in sound:
            sound.pop("rocker_m", None)  # it is judged by the depth alone
        try:
            _principal(STAND_INS | sound)
        except LinesError as problem:
            if problem.field not in sound:
                return wrong
            wrong[problem.field] = _said(problem)
        else:
            return wrong


def _said(problem: LinesError) -> str:
    """What is wrong, in the reader's language."""
    values = {name: _(value) if name == "limits" else value for name, value in problem.values.items()}
    return _(problem.text) % values if values else _(problem.text)


def _principal(by_name: dict[str, float]) -> Principal:
    return Principal(
        length_m=by_name["length_m"],
        beam_m=by_name["beam_m"],
        depth_m=by_name["depth_m"],
        end_depth_m=by_name["end_depth_m"],
        rocker_m=by_name.get("rocker_m"),
    )
