"""Scenario, weather and trade rules turned into plain numbers: sessions, lots, steps, places, orders."""
