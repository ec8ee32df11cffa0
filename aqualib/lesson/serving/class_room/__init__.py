"""A class on one machine: each learner with a login, a kernel and copies of their own."""
