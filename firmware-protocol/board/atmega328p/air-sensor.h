/* One temperature and humidity sensor of the SHT3x or the SHT4x family; which one is found out by asking it. */
#ifndef AIR_SENSOR_H
#define AIR_SENSOR_H

#include <stdint.h>

#include "../sensors.h"

/* Between the command and the answer: 15.5 ms at most for the SHT3x, 8.3 ms for the SHT4x. */
#define AIR_SENSOR_MS 17

struct air_sensor {
  uint8_t address;
  enum air_family family;
  uint8_t asked;           /* a measurement is under way */
  uint8_t repeats;         /* answers that were bit for bit the one before */
  uint8_t before[6];
  uint32_t repeating_since_ms;
};

/* Finds out which family answers, if that is not known. */
void air_sensor_find(struct air_sensor *sensor);

/* Sends the command, to whoever is there by now. */
void air_sensor_ask(struct air_sensor *sensor);

/* AIR_SENSOR_MS later. OUTCOME_NACK for both values if nothing answered. */
struct air air_sensor_read(struct air_sensor *sensor, uint32_t now_ms);

#endif
