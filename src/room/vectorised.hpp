#pragma once

// Loops marked so are compiled for wide vectors, too, and chosen when the program starts. They hold only
// integer arithmetic, minima and single roundings, so every choice gives the same bytes. Sanitizers start too
// late for that choice, so their builds go without.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) &&     \
    !defined(__SANITIZE_THREAD__)
#define SWINGROOM_VECTORISED __attribute__((target_clones("arch=x86-64-v4", "avx2", "default")))
#else
#define SWINGROOM_VECTORISED
#endif
