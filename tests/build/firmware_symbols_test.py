#!/usr/bin/env python3
"""Shows that firmware_symbols.py refuses bad firmware, by the right rule, and passes good firmware."""
import os
import subprocess
import sys
import tempfile
import unittest

CHECK = os.path.join(os.path.dirname(os.path.abspath(__file__)), "firmware_symbols.py")
CXX = os.environ.get("CXX", "c++")
FIRMWARE_FLAGS = ["-fno-exceptions", "-fno-rtti", "-fno-threadsafe-statics"]


class FirmwareSymbols(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = scratch.name

    def compile(self, name, source, flags):
        path = os.path.join(self.folder, name + ".cpp")
        with open(path, "w") as file:
            file.write(source)
        subprocess.run([CXX, "-std=c++20", "-O1", *flags, "-c", path, "-o", path[:-4] + ".o"], check=True)
        return path[:-4] + ".o"

    def check(self, *objects):
        done = subprocess.run([sys.executable, CHECK, *objects], capture_output=True, text=True)
        return done.returncode, done.stdout + done.stderr

    def refuses(self, rule, symbol, source, flags=FIRMWARE_FLAGS):
        good = self.compile("innocent", "int innocent(int x) { return x + 1; }", FIRMWARE_FLAGS)
        status, output = self.check(good, self.compile("culprit", source, flags))
        self.assertEqual(status, 1, output)
        lines = [line for line in output.splitlines() if f"[{symbol}]" in line]
        self.assertEqual(len(lines), 1, output)
        self.assertTrue(lines[0].startswith(rule + ": "), output)
        self.assertIn("culprit.o needs", lines[0])
        self.assertNotIn("innocent.o", output)

    def test_new_is_an_allocation(self):
        self.refuses("allocation", "_Znwm", "int* make() { return new int(1); }")

    def test_delete_is_an_allocation(self):
        self.refuses("allocation", "_ZdaPv", "void drop(int* p) { delete[] p; }")

    def test_malloc_is_an_allocation(self):
        self.refuses("allocation", "malloc", "#include <cstdlib>\nvoid* make() { return std::malloc(8); }")

    def test_throw_is_an_exception(self):
        self.refuses("exception", "__cxa_throw", "void fail() { throw 1; }", flags=["-fno-rtti"])

    def test_throw_hidden_in_the_standard_library_is_an_exception(self):
        self.refuses("exception", "_ZSt24__throw_out_of_range_fmtPKcz",
                     "#include <array>\nint at(std::array<int, 3>& a, unsigned i) { return a.at(i); }")

    def test_dynamic_cast_is_type_information(self):
        self.refuses("type information", "__dynamic_cast",
                     "struct A { virtual void f(); }; struct B : A {};\n"
                     "B* cast(A* a) { return dynamic_cast<B*>(a); }", flags=["-fno-exceptions"])

    def test_type_information_of_its_own_is_type_information(self):
        self.refuses("type information", "_ZTI1A",
                     "struct A { virtual int f(); }; int A::f() { return 1; }", flags=["-fno-exceptions"])

    def test_std_exp_is_the_mathematical_library(self):
        self.refuses("mathematical library", "exp", "#include <cmath>\ndouble e(double x) { return std::exp(x); }")

    def test_powf_is_the_mathematical_library(self):
        self.refuses("mathematical library", "powf",
                     "#include <cmath>\nfloat p(float x, float y) { return std::pow(x, y); }")

    def test_static_local_with_a_thread_safe_guard_is_a_static_guard(self):
        self.refuses("static guard", "__cxa_guard_acquire",
                     "int seed(); int f() { static int value = seed(); return value; } int seed() { return 1; }",
                     flags=["-O0"])

    def test_static_local_with_a_plain_guard_is_a_static_guard(self):
        self.refuses("static guard", "_ZGVZ1fvE5value",
                     "int seed(int*); int f() { static int value = seed(&value); return value; }\n"
                     "__attribute__((noinline)) int seed(int* p) { return *p + 1; }")

    def test_static_with_a_destructor_is_an_exit_time_destructor(self):
        self.refuses("exit-time destructor", "__cxa_atexit",
                     "int count; struct A { ~A() { ++count; } }; A a;")

    def test_cout_is_a_stream(self):
        self.refuses("stream", "_ZSt4cout", "#include <iostream>\nvoid say() { std::cout << 1; }")

    def test_any_other_call_is_foreign(self):
        self.refuses("foreign symbol", "printf", '#include <cstdio>\nvoid say(int x) { std::printf("%d", x); }')

    def test_an_undefined_function_of_no_archive_is_foreign(self):
        self.refuses("foreign symbol", "_Z7missingv", "int missing(); int f() { return missing(); }")

    def test_memory_functions_and_calls_between_objects_pass(self):
        one = self.compile("one", "#include <cstring>\nint two(int);\n"
                           "int one(void* to, const void* from, unsigned long n) { std::memcpy(to, from, n); return two(1); }",
                           FIRMWARE_FLAGS)
        two = self.compile("two", "int two(int x) { return 2 * x; }", FIRMWARE_FLAGS)
        status, output = self.check(one, two)
        self.assertEqual(status, 0, output)
        self.assertEqual(self.check(one)[0], 1, "without two.o the call of two() is undefined")

    def test_an_archive_member_is_named(self):
        member = self.compile("culprit", "int* make() { return new int(1); }", FIRMWARE_FLAGS)
        archive = os.path.join(self.folder, "libfirmware.a")
        subprocess.run(["ar", "rcs", archive, member], check=True)
        status, output = self.check(archive)
        self.assertEqual(status, 1, output)
        self.assertRegex(output, r"allocation: .*libfirmware\.a\(culprit\.o\) needs")

    def test_a_missing_input_is_no_pass(self):
        status, _ = self.check(os.path.join(self.folder, "absent.o"))
        self.assertEqual(status, 2)


if __name__ == "__main__":
    unittest.main()
