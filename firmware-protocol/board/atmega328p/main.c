/*
 * The reference board: measures, says so in LD1 at its interval, answers the host, and sleeps in between.
 *
 * A round is due every interval. Before it is due the probes are asked for a conversion and the air sensors for a
 * measurement; when it is due the answers are read and a line goes out for each station.
 */
#include <avr/interrupt.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

#include "../ld1.h"
#include "air-sensor.h"
#include "board.h"
#include "boot.h"
#include "bridge.h"
#include "i2c.h"
#include "probe.h"
#include "uart.h"
#include "uptime.h"

/* A little more than the sensors need, so that their answers are ready when the round is due. */
#define ASK_PROBES_BEFORE_MS (PROBE_MS + 10)
#define ASK_AIR_BEFORE_MS (AIR_SENSOR_MS + 3)

#define FITTED_ROOM 0x01
#define FITTED_SURFACE 0x02
#define FITTED_CELL 0x04
#define FITTED_BRIDGE 0x08

static uint16_t boot;
static uint32_t seq;
static uint16_t interval_ms = FIRST_INTERVAL_MS;
static uint32_t due_ms;
static uint8_t fitted;
static char bytes[LD1_BUFFER_BYTES];
static struct ld1_ear ear;

static struct air_sensor box = {.address = BOX_ADDRESS};
static struct air_sensor room = {.address = ROOM_ADDRESS};
static uint8_t air_asked;
static uint32_t air_asked_ms;
static uint8_t probes_asked;
static uint32_t probes_asked_ms;
static uint8_t surface_answered, cell_answered;

static void send(struct ld1_line *line) { uart_send(bytes, ld1_end(line)); }

static void add(struct ld1_line *line, const char *key, struct datum datum, uint8_t decimals) {
  if (datum.outcome == OUTCOME_GOOD)
    ld1_add_value(line, key, datum.scaled, decimals);
  else if (datum.outcome != OUTCOME_NOTHING)
    ld1_add_fault(line, key, (enum ld1_fault)datum.outcome);
}

/* What has answered once is missed from then on; what never has is not spoken of. */
static struct datum miss(struct datum datum, uint8_t bit) {
  if (datum.outcome == OUTCOME_GOOD && !(fitted & bit)) {
    fitted |= bit;
    boot_note_fitted(fitted);
  }
  if (!(fitted & bit)) datum.outcome = OUTCOME_NOTHING;
  return datum;
}

static const char *part_name(enum air_family family) {
  return family == AIR_SHT4X ? "sht4x" : family == AIR_SHT3X ? "sht3x" : "none";
}

static void say_hello(void) {
  struct ld1_line line;
  ld1_begin_hello(&line, bytes, sizeof bytes, BOARD_NAME, boot);
  ld1_add_fact(&line, "fw", FIRMWARE_VERSION);
  ld1_add_fact_number(&line, "every", interval_ms);
  ld1_add_fact(&line, "reset", boot_cause());
  const struct ld1_line without_parts = line;
  ld1_add_fact(&line, "part.rh", part_name(box.family));
  if (fitted & FITTED_ROOM) ld1_add_fact(&line, "part." ROOM_STATION ".rh", part_name(room.family));
  if (fitted & FITTED_SURFACE) ld1_add_fact(&line, "part.ts", "ds18b20");
  if (fitted & FITTED_BRIDGE) ld1_add_fact(&line, "part.m", "hx711");
  /* With long names of its own a board may not get all of it into one line; a hello without parts is better than none. */
  if (line.refusal != LD1_GOOD) line = without_parts;
  send(&line);
}

static void hear(void) {
  while (uart_has_heard()) {
    const enum ld1_command command = ld1_hear(&ear, uart_take(), &interval_ms);
    if (command == LD1_NOTHING) continue;
    if (command == LD1_SET_INTERVAL) {
      const uint32_t sooner = uptime() + interval_ms;
      if (has_passed(due_ms, sooner)) due_ms = sooner;
    }
    say_hello();
  }
}

static void ask_probes(uint32_t now) {
  surface_answered = probe_ask(_BV(SURFACE_PROBE_PIN));
  cell_answered = probe_ask(_BV(CELL_PROBE_PIN));
  probes_asked = 1;
  probes_asked_ms = now;
}

static void ask_air(uint32_t now) {
  air_sensor_ask(&box);
  air_sensor_ask(&room);
  air_asked = 1;
  air_asked_ms = now;
}

static struct datum probe_datum(uint8_t line, uint8_t answered, uint8_t bit) {
  static const struct datum nobody = {0, OUTCOME_NACK};
  return miss(answered ? probe_read(line) : nobody, bit);
}

static void report(uint32_t now) {
  struct ld1_line line;
  struct air air = air_sensor_read(&box, now);
  ld1_begin_reading(&line, bytes, sizeof bytes, BOX_STATION, boot, seq, now);
  add(&line, "t", air.celsius_x100, 2);
  add(&line, "rh", air.humidity_x100, 2);
  /* Without a new conversion (an interval shorter than one) there is nothing to say of the probes. */
  if (probes_asked && has_passed(now, probes_asked_ms + PROBE_MS)) {
    probes_asked = 0;
    add(&line, "ts", probe_datum(_BV(SURFACE_PROBE_PIN), surface_answered, FITTED_SURFACE), 4);
    add(&line, "tm", probe_datum(_BV(CELL_PROBE_PIN), cell_answered, FITTED_CELL), 4);
  }
  add(&line, "m", miss(bridge_read(now), FITTED_BRIDGE), 2);
  seq++;
  send(&line);

  air = air_sensor_read(&room, now);
  air.celsius_x100 = miss(air.celsius_x100, FITTED_ROOM);
  if (!(fitted & FITTED_ROOM)) return;
  ld1_begin_reading(&line, bytes, sizeof bytes, ROOM_STATION, boot, seq, now);
  add(&line, "t", air.celsius_x100, 2);
  add(&line, "rh", air.humidity_x100, 2);
  seq++;
  send(&line);
}

/* Whether it is time for something, or else when that will be, if it is the earliest so far. */
static uint8_t is_time(uint32_t now, uint32_t at, uint32_t *next) {
  if (has_passed(now, at)) return 1;
  if (has_passed(*next, at)) *next = at;
  return 0;
}

/* Does what is due, and says when the next thing is. */
static uint32_t advance(uint32_t now) {
  uint32_t next = now + interval_ms;
  if (air_asked && is_time(now, due_ms, &next) && is_time(now, air_asked_ms + AIR_SENSOR_MS, &next)) {
    report(now);
    air_asked = 0;
    due_ms += interval_ms;
    if (has_passed(now, due_ms)) due_ms = now + interval_ms;
  }
  if (!probes_asked && is_time(now, due_ms - ASK_PROBES_BEFORE_MS, &next)) ask_probes(now);
  bridge_listen(is_time(now, due_ms - BRIDGE_LISTEN_MS, &next));
  if (!air_asked && is_time(now, due_ms - ASK_AIR_BEFORE_MS, &next)) {
    ask_air(uptime());
    is_time(now, due_ms, &next);
    is_time(now, air_asked_ms + AIR_SENSOR_MS, &next);
  }
  return next;
}

/* Until then, or until something is to be fetched. Other interrupts, as of each byte sent, wake the chip and not us. */
static void sleep_until(uint32_t ms) {
  const uint32_t now = uptime();
  if (has_passed(now, ms)) return;
  wake_in(ms - now);
  for (;;) {
    /* With interrupts off, for what came between the look and the sleep would not wake us any more. */
    cli();
    if (uart_has_heard() || bridge_is_ready() || is_woken()) break;
    /* The instruction after sei still runs before any interrupt. */
    sei();
    sleep_cpu();
  }
  sei();
}

int main(void) {
  boot = boot_id();
  fitted = boot_fitted();
  wdt_enable(WDTO_4S);
  uptime_start();
  uart_start();
  i2c_start();
  bridge_start();
  set_sleep_mode(SLEEP_MODE_IDLE);
  sleep_enable();
  sei();
  due_ms = uptime() + FIRST_LINE_MS;
  air_sensor_find(&box);
  air_sensor_find(&room);
  say_hello();
  for (;;) {
    wdt_reset();
    hear();
    if (bridge_is_ready()) bridge_take(uptime());
    sleep_until(advance(uptime()));
  }
}
