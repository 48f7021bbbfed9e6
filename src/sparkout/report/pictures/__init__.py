"""From engine, findings and plan to the records that `sparkout.drawings` draws."""
