"""Programs to try a job with before it cuts: raised into the air, or slowed.

`prove_out.model` says what is wanted, `prove_out.build` makes it.
"""
