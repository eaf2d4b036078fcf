"""Runs one command within limits and writes down what it took.

``python launch.py REPORT SECONDS BYTES FILE_BYTES COMMAND...``: the command is killed after so many seconds of wall
time; it may map so many bytes of memory and write files of so many bytes (0: as many as it likes). It is a process of
its own because Linux counts the memory of whoever starts a program towards the peak of that program.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys


def main(report: str, seconds: int, most: int, file_most: int, command: list[str]) -> None:
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
        if file_most:
            resource.setrlimit(resource.RLIMIT_FSIZE, (file_most, file_most))
        os.execvp(command[0], command)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever is to be interrupted is the command
    signal.signal(signal.SIGALRM, lambda *_: os.kill(child, signal.SIGKILL))
    signal.alarm(seconds)
    _, status, used = os.wait4(child, 0)
    signal.alarm(0)
    with open(report, "w", encoding="ascii") as file:
        json.dump([os.waitstatus_to_exitcode(status), used.ru_utime + used.ru_stime, used.ru_maxrss * 1024], file)


if __name__ == "__main__":
    main(sys.argv[1], *map(int, sys.argv[2:5]), sys.argv[5:])
