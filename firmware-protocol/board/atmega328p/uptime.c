#include "uptime.h"

#include <avr/interrupt.h>
#include <avr/io.h>

/* A tick is 8/125 ms. */
#define TICK_NUMERATOR 8
#define TICK_DENOMINATOR 125
/* The half-way interrupts come every 2.1 s anyway. */
#define LONGEST_WAKE_MS 2000

static volatile uint32_t uptime_ms;
static uint16_t counted_ticks;
static uint8_t rest;

/* One short division at most, and none where little time has passed: this is done at every waking up. */
static void count(void) {
  const uint16_t now = TCNT1;
  uint16_t ticks = now - counted_ticks;
  counted_ticks = now;
  if (ticks >= TICK_DENOMINATOR) {
    uptime_ms += (uint32_t)(ticks / TICK_DENOMINATOR) * TICK_NUMERATOR;
    ticks %= TICK_DENOMINATOR;
  }
  uint16_t parts = ticks * TICK_NUMERATOR + rest;
  for (; parts >= TICK_DENOMINATOR; parts -= TICK_DENOMINATOR) uptime_ms++;
  rest = (uint8_t)parts;
}

static volatile uint8_t woken;

/* Twice in a turn of the counter, for at exactly one turn the difference would be nought. */
ISR(TIMER1_OVF_vect) {
  count();
  woken = 1;
}
ISR(TIMER1_COMPB_vect, ISR_ALIASOF(TIMER1_OVF_vect));
ISR(TIMER1_COMPA_vect) { woken = 1; }

void uptime_start(void) {
  OCR1B = 0x8000;
  TIMSK1 = _BV(TOIE1) | _BV(OCIE1B);
  TCCR1B = _BV(CS12) | _BV(CS10); /* 16 MHz / 1024 */
}

uint32_t uptime(void) {
  const uint8_t state = SREG;
  cli();
  count();
  const uint32_t ms = uptime_ms;
  SREG = state;
  return ms;
}

void wake_in(uint32_t ms) {
  const uint8_t state = SREG;
  cli();
  woken = 0;
  if (ms > LONGEST_WAKE_MS) {
    TIMSK1 &= (uint8_t)~_BV(OCIE1A);
  } else {
    /* Two ticks more, so that the counter cannot have passed the mark before it is set. */
    OCR1A = TCNT1 + (uint16_t)(ms * TICK_DENOMINATOR / TICK_NUMERATOR) + 2;
    TIFR1 = _BV(OCF1A);
    TIMSK1 |= _BV(OCIE1A);
  }
  SREG = state;
}

uint8_t is_woken(void) { return woken; }
