/* The bridge ADC (HX711 class, gain 128): sums up its conversions until it is asked. */
#ifndef BRIDGE_H
#define BRIDGE_H

#include <stdint.h>

#include "../sensors.h"

void bridge_start(void);

/* A conversion waits to be fetched. */
uint8_t bridge_is_ready(void);

/* Fetches it; only when it is ready. */
void bridge_take(uint32_t now_ms);

/*
 * The mean since the last call, as grams times 100. OUTCOME_NOTHING: no conversion has come yet, but it is not overdue.
 * OUTCOME_NACK: overdue.
 */
struct datum bridge_read(uint32_t now_ms);

#endif
