/* Forces of a leaf that meets a body, before any is measured. SI units. The spring stands for instrument and body;
 * nothing else gives, no brake acts, and the drive pushes on: a screening. */
#ifndef CALC_FORCE_H
#define CALC_FORCE_H

/* The greatest force on a spring k that stops a mass m at speed v while a thrust T drives on. From the energy balance
 * m v² / 2 + T x = k x² / 2: F = k x = T + sqrt(T² + k m v²); v sqrt(k m) without thrust, 2 T without speed.
 * Mass kg > 0 with what turns in the drive, speed m/s >= 0, spring N/m > 0, thrust N >= 0. N. */
double force_peak(double mass, double speed, double spring, double thrust);

/* The same the other way round, v = sqrt(L (L - 2 T) / (k m)): the greatest speed at which the peak is not above the
 * limit L (N > 0). 0 where the thrust alone, 2 T, is as much as the limit or more. m/s. */
double force_top_speed(double mass, double spring, double thrust, double limit);

#endif
