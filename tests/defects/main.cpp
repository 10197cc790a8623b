#include "command.hpp"

// Sees no header of the firmware: what it would compile of one would be sound, and come first.
int main(int count, char** arguments) { return ovenproof::defects::run_command(count, arguments); }
