"""With which number each command ends."""

DONE, FILE_WRONG, CANNOT_BE_DONE, AUDIT_FAILED, FAULT, STOPPED = 0, 2, 3, 4, 70, 130

EXIT_CODES = """\
exit codes:
  0    done
  2    the file or the command line is wrong, or something cannot be written
  3    cannot be done: what must be done does not fit into this winter
  4    the audit found broken promises
  70   a fault of this program (OFFSEASON_DEBUG=1 shows where), or no memory
       left, or a part of it is missing
  130  stopped with Ctrl-C before there was a plan"""
