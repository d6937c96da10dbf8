"""The table of rules. Each module beside this one holds one rule as ``RULE``; adding one touches that file alone."""

from importlib import import_module
from pkgutil import iter_modules

from stages.engine.findings import Ask, Finding, Rule
from stages.engine.vocab import Action
from stages.engine.work import Work

RULES: tuple[Rule, ...] = tuple(
    import_module(f"{__name__}.{found.name}").RULE for found in sorted(iter_modules(__path__), key=lambda m: m.name)
)
_BY_ACTION = {action: tuple(rule for rule in RULES if action in rule.actions) for action in Action}


def judge(work: Work, ask: Ask) -> tuple[Finding, ...]:
    """Every rule's finding on an action, those that refuse first.

    Parameters
    ----------
    work : Work
        The hull in its shop, as it stands before the action.
    ask : Ask
        The action.
    """
    found = (rule.check(work, ask) for rule in _BY_ACTION[ask.action])
    return tuple(sorted((f for f in found if f is not None), key=lambda f: not f.refuses))
