"""What stands behind `plan_sheets`: how a good plan and a bound are found. Nothing here is trusted by the checker."""
