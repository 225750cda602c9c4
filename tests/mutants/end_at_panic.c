/* Preloaded, it ends a test program at its first panic: a mutant is caught, and nothing is to be shrunk. */
#include <unistd.h>

int _Unwind_RaiseException(void *exception) {
    (void)exception;
    _exit(101);
}
