"""From a survey to an order: what follows from what is given is worked out; what only a person knows is asked."""
