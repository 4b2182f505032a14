"""Tests of reading schedules."""
