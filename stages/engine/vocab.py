"""The closed vocabularies of the stage engine: surfaces, product kinds, station kinds, actions, states."""

from enum import StrEnum


class Surface(StrEnum):
    """A face of the hull that carries a stack of coats of its own."""

    PLANKING = "planking"
    SKIN = "skin"
    INSIDE = "inside"
    BRIGHTWORK = "brightwork"


class ProductKind(StrEnum):
    """What a product is for; the canvas itself counts as the first layer of the skin."""

    OIL = "oil"
    SEALER = "sealer"
    VARNISH = "varnish"
    CANVAS = "canvas"
    PRESERVATIVE = "preservative"
    LATEX_FILLER = "latex_filler"
    OIL_FILLER = "oil_filler"
    PRIMER = "primer"
    ENAMEL = "enamel"


FILLERS = frozenset({ProductKind.LATEX_FILLER, ProductKind.OIL_FILLER})


class StationKind(StrEnum):
    """The kind of place that a stage needs."""

    RACK = "rack"
    STRIP = "strip"
    WOOD = "wood"
    CANVAS = "canvas"
    FILLER = "filler"
    FINISHING = "finishing"
    YARD = "yard"
    TRIM = "trim"


class Damage(StrEnum):
    """What a survey counts."""

    RIBS = "ribs"
    PLANKS = "planks"
    STEMS = "stems"
    INWALES = "inwales"
    DECKS = "decks"
    OUTWALES = "outwales"
    SEATS = "seats"


class Condition(StrEnum):
    """How an old finish was found to hold."""

    UNKNOWN = "unknown"
    SOUND = "sound"
    FLAKING = "flaking"


class Gate(StrEnum):
    """A special duty of a stage, read by the rule of that name."""

    LEAD = "lead"
    RAGS = "rags"
    GLUE = "glue"
    SURVEY = "survey"
    APPROVED = "approved"
    HAND_OVER = "hand_over"


class Paper(StrEnum):
    """What a boat's owner is asked to agree to."""

    ESTIMATE = "estimate"
    CHANGE_ORDER = "change"


class Answer(StrEnum):
    """What became of a paper that was sent."""

    OPEN = ""
    APPROVED = "approved"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"


class Action(StrEnum):
    """What hands want to do next."""

    START = "start"
    COAT = "coat"
    SAND = "sand"
    FINISH = "finish"
    MOVE = "move"
    RAGS = "rags"
    LEAVE_OUT = "leave_out"


class State(StrEnum):
    """Where one stage of one hull stands."""

    WAITING = "waiting"
    READY = "ready"
    ON_BENCH = "on_bench"
    DRYING = "drying"
    FINISHED = "finished"
    LEFT_OUT = "left_out"


class Severity(StrEnum):
    """How hard a finding bites."""

    REFUSES = "refuses"
    WARNS = "warns"
    CAUTIONS = "cautions"
