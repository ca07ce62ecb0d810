"""Properties that hold for any room: referees written from the rules, and the tests that put rooms before them."""
