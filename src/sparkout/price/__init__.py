"""What a plan costs the customer: lines, contingency, tax, days."""
