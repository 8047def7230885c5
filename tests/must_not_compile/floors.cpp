// Includes one header of another module; the test says which, and whose include folders the compiler is given.
#include HEADER
