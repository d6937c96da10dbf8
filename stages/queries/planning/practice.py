"""What a plan assumes where nobody says otherwise. Common practice, no published source."""

from datetime import time, timedelta

from stages.engine.vocab import StationKind
from stages.planner.problem import Weights
from stages.planner.timegrid import SLOTS_A_DAY

# Where a coat dries on the spot, in the air that its dry clock reckons with; elsewhere the hull may be carried on.
DRIES_IN_PLACE = frozenset({StationKind.FINISHING, StationKind.FILLER, StationKind.YARD})
LONG_CURE = 3 * SLOTS_A_DAY  # what dries for longer goes to the rack once it may be moved
SANDED_COAT = 1.3  # a coat over a sanded one takes so many times the hours of a first coat
SANDING_SHARE = 0.3  # of a coat's hours: what sanding after a missed recoat window takes
LEAST_LEFT = 0.1  # of a step's hours: who is not done after all of them needs a little more
MORNING, EVENING = time(8), time(18)  # of a day outdoors, as the rule on outdoors has it
USUAL_DRY_SHARE, USUAL_DAYS = 0.6, 10.0  # of days without rain, before the shop's record says more
KEPT_DAYS = 2  # of the plan before, that a new one does not shuffle without need
WEIGHT = {1: 10, 2: 30, 3: 90}  # a quarter of an hour too late, by the priority of the hull
FLOW = 1  # a quarter of an hour until a boat is done
WEIGHTS = Weights(missed=240, makespan=0, shuffle=1)  # a missed window: two hours too late of a boat as promised
NO_ANSWER_SOONER = timedelta(days=1)  # than tomorrow, from an owner who takes longer than most
