"""Plans one invented scheme and prints what that took, as JSON: kind, pieces, lengths, offcuts, seed.

A process of its own, so that its memory is that of this scheme and nothing else.
"""

import json
import random
import resource
import sys
import time

from jobs import KERF_MM, adversarial, realistic, stock
from referees import first_fit_by_length

from service.engine.cutting.bars import plan_bars

kind, (pieces, lengths, offcuts, seed) = sys.argv[1], map(int, sys.argv[2:])
rng = random.Random(f"scheme {seed}")
demand = {"realistic": realistic, "adversarial": adversarial}[kind](rng, pieces, lengths)
bars = stock(rng, offcuts, by_price=True)
start = time.process_time()
plan = plan_bars(demand, bars, KERF_MM)
seconds = time.process_time() - start
megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
gap = (plan.used - plan.lower_bound) / bars[0].price
first_fit = first_fit_by_length(demand, bars, KERF_MM) / plan.used - 1
print(json.dumps({"gap": gap, "status": plan.status, "first_fit": first_fit, "seconds": seconds, "megabytes": megabytes}))
