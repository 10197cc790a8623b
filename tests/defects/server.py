"""Talks to the program that plays scenarios with one defect after the other."""
import json
import subprocess


class Lost(Exception):
    """The program has ended, or says nothing that is understood."""


class Server:
    def __init__(self, program, paths):
        self.process = subprocess.Popen([program, "--serve", *paths], text=True, stdin=subprocess.PIPE,
                                        stdout=subprocess.PIPE)
        self.items = self.read("when it started")["items"]  # their names, in the order of their numbers

    def ask(self, order):
        """What came of an order, see serve.hpp."""
        self.process.stdin.write(json.dumps(order) + "\n")
        self.process.stdin.flush()
        return self.read(f"at defect {order['defect']}")

    def read(self, when):
        answer = self.process.stdout.readline()
        if not answer:
            raise Lost(f"the server was lost {when}")
        return json.loads(answer)

    def close(self):
        self.process.stdin.close()
        self.process.wait()
