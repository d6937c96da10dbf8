"""Which lines of a hull's log its owner hears of."""

from hulls.models import MessageKind, Wish
from stages.engine.log import EntryKind, LogEntry
from stages.engine.route import StageSpec
from stages.engine.vocab import Gate
from stages.engine.work import Work


def wants_step(wish: str, spec: StageSpec) -> bool:
    """Whether a boat's owner wants to hear that a step is done."""
    return wish == Wish.EVERY or (wish == Wish.MILESTONES and spec.milestone)


def asks_for_answer(entry: LogEntry) -> bool:
    """Whether a line tells that an estimate or change order went to the boat's owner."""
    return entry.kind is EntryKind.ESTIMATE and entry.details.get("what") == "sent"


def ready_to_leave(work: Work) -> bool:
    """Whether nothing is left to be done on a boat but to hand it over."""
    left = [work.route.by_key[key] for key in work.open_stages]
    return bool(left) and all(Gate.HAND_OVER in spec.gates for spec in left)


def kinds_for(entry: LogEntry, work: Work, wish: str) -> tuple[MessageKind, ...]:
    """The letters that a line of the log belongs into.

    Parameters
    ----------
    entry : LogEntry
        The line.
    work : Work
        The hull's work with that line in its log.
    wish : str
        What its owner chose.
    """
    if wish == Wish.NOTHING:
        return ()
    if asks_for_answer(entry):
        return (MessageKind.ACT,)
    if entry.kind is not EntryKind.FINISHED:
        return ()
    if Gate.HAND_OVER in work.route.by_key[entry.stage].gates:
        return (MessageKind.RECORD,)  # whatever they chose: it is what they were given
    step = (MessageKind.STEP,) if wants_step(wish, work.route.by_key[entry.stage]) else ()
    return (*step, MessageKind.ACT) if ready_to_leave(work) else step
