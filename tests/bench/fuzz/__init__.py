"""Made and bent input, put before everything that reads what others wrote.

    python -m tests.bench.fuzz --cases 100000 --seed 20261130

    drawn     limbs on the paper, sound or in every other way
    made      valid action files, briefs and records, by generators of their own
    bent      one or more things wrong with them: in their bytes, or in their values
    actions   targets that read action files, with plans and lectures
    folders   targets that read briefs, folders of hand-ins and the record
    page      targets that take what a page sends
    run       one case or many: warnings are errors, time and memory are measured, what hangs is killed

A case is made from seed, target and number alone, so `--seed S --only TARGET --case N` makes it again.
"""
