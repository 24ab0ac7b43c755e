#include "sensors.h"

/* Below -40 °C and above 125 °C neither family works: such an answer is nonsense, not a temperature. */
#define AIR_LEAST_X100 (-4000)
#define AIR_MOST_X100 12500
/* A bus that floats high reads as this; as a humidity it would be 119 % or 100 %. */
#define ALL_ONES 0xFFFF
#define PROBE_LEAST_SIXTEENTHS (-55 * 16)
#define PROBE_MOST_SIXTEENTHS (125 * 16)

static const struct datum NO_ANSWER = {0, OUTCOME_NACK};

static uint16_t word_at(const uint8_t *bytes) { return (uint16_t)(bytes[0] << 8 | bytes[1]); }

/* span · raw / 65535, to the nearest. */
static int32_t share_of(uint16_t span, uint16_t raw) { return (int32_t)(((uint32_t)span * raw + 32767) / 65535); }

uint8_t crc8_sht(const uint8_t *bytes, uint8_t count) {
  uint8_t crc = 0xFF;
  while (count-- > 0) {
    crc ^= *bytes++;
    for (uint8_t bit = 0; bit < 8; bit++) crc = (uint8_t)(crc & 0x80 ? crc << 1 ^ 0x31 : crc << 1);
  }
  return crc;
}

uint8_t crc8_one_wire(const uint8_t *bytes, uint8_t count) {
  uint8_t crc = 0;
  while (count-- > 0) {
    crc ^= *bytes++;
    for (uint8_t bit = 0; bit < 8; bit++) crc = (uint8_t)(crc & 1 ? crc >> 1 ^ 0x8C : crc >> 1);
  }
  return crc;
}

struct air air_from(enum air_family family, const uint8_t bytes[6]) {
  struct air air = {{0, OUTCOME_GOOD}, {0, OUTCOME_GOOD}};
  const uint16_t humidity = word_at(bytes + 3);
  /* t = -45 + 175 · S / 65535 */
  air.celsius_x100.scaled = share_of(17500, word_at(bytes)) - 4500;
  /* SHT4x: rh = -6 + 125 · S / 65535, left unclipped; SHT3x: rh = 100 · S / 65535 */
  air.humidity_x100.scaled = family == AIR_SHT4X ? share_of(12500, humidity) - 600 : share_of(10000, humidity);
  if (crc8_sht(bytes, 2) != bytes[2])
    air.celsius_x100.outcome = OUTCOME_CRC;
  else if (air.celsius_x100.scaled < AIR_LEAST_X100 || air.celsius_x100.scaled > AIR_MOST_X100)
    air.celsius_x100.outcome = OUTCOME_RANGE;
  if (crc8_sht(bytes + 3, 2) != bytes[5])
    air.humidity_x100.outcome = OUTCOME_CRC;
  else if (humidity == ALL_ONES)
    air.humidity_x100.outcome = OUTCOME_RANGE;
  return air;
}

struct datum probe_from(const uint8_t scratchpad[9]) {
  uint8_t ones = 0xFF;
  uint8_t any = 0;
  for (uint8_t i = 0; i < 9; i++) {
    ones &= scratchpad[i];
    any |= scratchpad[i];
  }
  /* A line nobody drives reads all ones; a line shorted to ground all noughts, whose checksum is right. */
  if (ones == 0xFF || any == 0) return NO_ANSWER;
  struct datum datum = {0, OUTCOME_GOOD};
  if (crc8_one_wire(scratchpad, 8) != scratchpad[8]) {
    datum.outcome = OUTCOME_CRC;
    return datum;
  }
  const int16_t sixteenths = (int16_t)(scratchpad[1] << 8 | scratchpad[0]);
  datum.scaled = sixteenths * INT32_C(625);
  if (scratchpad[2] != PROBE_MARK_HIGH || scratchpad[3] != PROBE_MARK_LOW || scratchpad[4] != PROBE_CONFIG ||
      sixteenths < PROBE_LEAST_SIXTEENTHS || sixteenths > PROBE_MOST_SIXTEENTHS)
    datum.outcome = OUTCOME_RANGE;
  return datum;
}

int32_t cell_grams_x100(int32_t sum, uint8_t count) {
  const int64_t by = (int64_t)CELL_COUNTS_PER_KG * count;
  const int64_t grams = (int64_t)sum * 100000;
  return (int32_t)((grams < 0 ? grams - by / 2 : grams + by / 2) / by);
}
