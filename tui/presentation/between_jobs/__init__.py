"""What a learner is offered between two jobs, and how they get on."""
