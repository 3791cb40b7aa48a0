"""The teacher's class: sets handed out, practicals collected, marked and summed up."""
