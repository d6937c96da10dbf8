"""Advice for somebody who does their own boat: which steps, how long to wait in their own air, tools and cautions.

Pure: answers and the shop's route and products in, frozen dataclasses out.
"""

from stages.advice.answers import Answers, Finish, Outside
from stages.advice.cautions import Caution, cautions_for
from stages.advice.job import Job
from stages.advice.plan import Step, plan
from stages.advice.tools import tools_for
from stages.advice.waits import Wait, steady_air, waits_of

__all__ = [
    "Answers",
    "Caution",
    "Finish",
    "Job",
    "Outside",
    "Step",
    "Wait",
    "cautions_for",
    "plan",
    "steady_air",
    "tools_for",
    "waits_of",
]
