#include "air-sensor.h"

#include <string.h>
#include <util/delay.h>

#include "i2c.h"

/*
 * Noise moves the last bits of both words at every measurement; the same 32 bits this often and this long are no air.
 * Both limits: at 100 ms a handful of repeats is nothing, at 60 s half an hour is too long to wait for a count.
 */
#define STUCK_REPEATS 30
#define STUCK_MS 60000
#define ANSWER_BYTES 6

/* One byte for the SHT4x, two for the SHT3x; all with high repeatability and without holding the clock. */
static const uint8_t MEASURE_4X[] = {0xFD};
static const uint8_t SERIAL_4X[] = {0x89};
static const uint8_t MEASURE_3X[] = {0x24, 0x00};
static const uint8_t STATUS_3X[] = {0xF3, 0x2D};

static uint8_t ask(uint8_t address, const uint8_t *command, uint8_t command_bytes, uint8_t *answer, uint8_t bytes) {
  if (!i2c_write(address, command, command_bytes)) return 0;
  _delay_ms(1);
  if (!i2c_read(address, answer, bytes)) return 0;
  for (uint8_t at = 0; at < bytes; at += 3)
    if (crc8_sht(answer + at, 2) != answer[at + 2]) return 0;
  return 1;
}

/* A command of the other family is not answered, so who answers with a right checksum is who it is. */
static enum air_family find(uint8_t address) {
  uint8_t answer[ANSWER_BYTES];
  if (ask(address, SERIAL_4X, sizeof SERIAL_4X, answer, 6)) return AIR_SHT4X;
  if (ask(address, STATUS_3X, sizeof STATUS_3X, answer, 3)) return AIR_SHT3X;
  return AIR_NONE;
}

void air_sensor_find(struct air_sensor *sensor) {
  if (sensor->family == AIR_NONE) sensor->family = find(sensor->address);
}

void air_sensor_ask(struct air_sensor *sensor) {
  air_sensor_find(sensor);
  if (sensor->family == AIR_SHT4X)
    sensor->asked = i2c_write(sensor->address, MEASURE_4X, sizeof MEASURE_4X);
  else if (sensor->family == AIR_SHT3X)
    sensor->asked = i2c_write(sensor->address, MEASURE_3X, sizeof MEASURE_3X);
  else
    sensor->asked = 0;
}

static uint8_t is_stuck(struct air_sensor *sensor, const uint8_t answer[ANSWER_BYTES], uint32_t now_ms) {
  if (memcmp(sensor->before, answer, ANSWER_BYTES) != 0) {
    memcpy(sensor->before, answer, ANSWER_BYTES);
    sensor->repeats = 0;
    sensor->repeating_since_ms = now_ms;
  } else if (sensor->repeats < STUCK_REPEATS) {
    sensor->repeats++;
  }
  /* Held from then on, however long it lasts: the time since would wrap after 49 days. */
  if (sensor->repeats < STUCK_REPEATS) return 0;
  if (now_ms - sensor->repeating_since_ms < STUCK_MS) return 0;
  sensor->repeating_since_ms = now_ms - STUCK_MS;
  return 1;
}

struct air air_sensor_read(struct air_sensor *sensor, uint32_t now_ms) {
  struct air air = {{0, OUTCOME_NACK}, {0, OUTCOME_NACK}};
  uint8_t answer[ANSWER_BYTES];
  const uint8_t answered = sensor->asked && i2c_read(sensor->address, answer, ANSWER_BYTES);
  sensor->asked = 0;
  if (!answered) {
    /* Whoever answers next may be another sensor. */
    sensor->family = AIR_NONE;
    return air;
  }
  air = air_from(sensor->family, answer);
  if (air.celsius_x100.outcome == OUTCOME_GOOD && air.humidity_x100.outcome == OUTCOME_GOOD &&
      is_stuck(sensor, answer, now_ms)) {
    air.celsius_x100.outcome = OUTCOME_STUCK;
    air.humidity_x100.outcome = OUTCOME_STUCK;
  }
  return air;
}
