#include "sim/app/program.hpp"

int main(int count, char** arguments) { return ovenproof::app::run_program(count, arguments); }
