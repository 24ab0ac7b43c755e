/* Milliseconds since the reset, from Timer1 at 64 µs a tick, and waking up at a given one of them. */
#ifndef UPTIME_H
#define UPTIME_H

#include <stdint.h>

void uptime_start(void);

/* Wraps after 2^32 ms. */
uint32_t uptime(void);

/* `at` is now or has passed; right across the wrap for times less than 24 days apart. */
static inline uint8_t has_passed(uint32_t now, uint32_t at) { return (int32_t)(now - at) >= 0; }

/* Asks to be woken in `ms`, and not later than in 2.1 s. */
void wake_in(uint32_t ms);

/* That time has come. */
uint8_t is_woken(void);

#endif
