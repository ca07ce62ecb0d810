"""Cuts what is needed out of what can be bought: bars now by length; it knows nothing of walls.

`bars.plan_bars` makes a plan with a proven lower bound, `check.check_plan` refuses a wrong one and shares no code with it.
"""
