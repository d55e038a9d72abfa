/* Tables for tests of reliability: few rows, of the figures of EN ISO 13849-1:2015 (Table 2, 4, 5, 6, 11, A.1, F.1
 * and K.1; those of Table 6, A.1, F.1 and K.1 from memory). */
#ifndef CALC_RELIABILITY_BENCH_H
#define CALC_RELIABILITY_BENCH_H

#include "calc/function.h"

const struct reliability_tables *bench_tables(void);

#endif
