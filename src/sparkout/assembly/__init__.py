"""From the plan to a proven, recorded build: steps, gates, tightening orders, valve lash."""
