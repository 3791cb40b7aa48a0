"""Judgement of readings, whatever their source."""
