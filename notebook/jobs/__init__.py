"""What is done with a job, for both fronts: open it, take things in, read again, mend. Joins the rooms; holds no rules of theirs."""
