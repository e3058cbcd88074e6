"""One module for each verb of the command line; each has `run(given) -> exit code`.

One that works on a board has `at_work(at, given)` beside it, for a board that is open: it
talks to `at.person` alone, so that the full screen runs the same. `run` refuses before a
port is opened what needs no board, a pipe where a person must see what moves included.
"""
