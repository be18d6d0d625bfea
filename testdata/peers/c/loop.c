// The loop of loop.go in C. Usage: loop seed draws rounds; prints the mean and the
// fewest nanoseconds per draw of all rounds.
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static inline double least(double a, double b) { return a < b ? a : b; }
static inline double most(double a, double b) { return a > b ? a : b; }

#include "formula.c"

static inline uint64_t scramble(uint64_t z) {
  z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
  z = (z ^ z >> 27) * 0x94d049bb133111ebu;
  return z ^ z >> 31;
}

struct side { double from, turn, scale, base, sign; };

// noipa: otherwise the compiler may work the mean out before the clock starts.
__attribute__((noipa)) static double mean(uint64_t at, long draws) {
  struct side s[INPUTS][2];
  double share[INPUTS], x[INPUTS], sum = 0;
  for (int j = 0; j < INPUTS; j++) {
    const double *r = ranges[j];
    double width = r[2] - r[0];
    s[j][0] = (struct side){1, -1, width * (r[2] - r[1]), r[2], -1};
    s[j][1] = (struct side){0, 1, width * (r[1] - r[0]), r[0], 1};
    share[j] = (r[1] - r[0]) / width;
  }
  for (long i = 0; i < draws; i++) {
    for (int j = 0; j < INPUTS; j++) {
      at += 0x9e3779b97f4a7c15u;
      double u = (double)(scramble(at) >> 11) * 0x1p-53;
      const struct side *h = &s[j][u < share[j]];
      x[j] = h->base + h->sign * sqrt((h->from + h->turn * u) * h->scale);
    }
    sum += formula(x);
  }
  return sum / draws;
}

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec * 1e9 + t.tv_nsec;
}

int main(int argc, char **argv) {
  uint64_t seed = argc > 1 ? strtoull(argv[1], 0, 10) : 1;
  long draws = argc > 2 ? atol(argv[2]) : 100000;
  int rounds = argc > 3 ? atoi(argv[3]) : 1;
  double best = 1e300, m = 0;
  for (int i = 0; i < rounds; i++) {
    double from = now();
    m = mean(seed, draws);
    best = least(best, (now() - from) / draws);
  }
  printf("%.17g %.6g\n", m, best);
  return 0;
}
