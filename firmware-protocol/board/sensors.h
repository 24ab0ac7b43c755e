/*
 * What the raw words of the sensors mean, in integers, and how they protect them. No hardware here: the same file runs
 * on the board and in the tests.
 *
 * Sources: data sheets of the SHT3x-DIS (conversion of signal output, checksum) and SHT4x (the same), of the DS18B20
 * (memory map, temperature register, CRC) and of the HX711 (full scale at gain 128), from memory; the checksums' check
 * values and the SHT4x formula are held against published ones in the tests.
 */
#ifndef SENSORS_H
#define SENSORS_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Why a measurement is no value; the four faults have the order of ld1.h. */
enum outcome { OUTCOME_NACK, OUTCOME_CRC, OUTCOME_RANGE, OUTCOME_STUCK, OUTCOME_GOOD, OUTCOME_NOTHING };

struct datum {
  int32_t scaled;
  uint8_t outcome;
};

enum air_family { AIR_NONE, AIR_SHT3X, AIR_SHT4X };

struct air {
  struct datum celsius_x100;
  struct datum humidity_x100; /* %RH over liquid water, unclipped */
};

/* Six bytes as both families send them: temperature word, its CRC-8, humidity word, its CRC-8. */
struct air air_from(enum air_family family, const uint8_t bytes[6]);

/* CRC-8 of the SHT families: poly 0x31, init 0xFF, no reflection. */
uint8_t crc8_sht(const uint8_t *bytes, uint8_t count);

/* CRC-8 of 1-Wire devices: poly 0x31 reflected (0x8C), init 0. */
uint8_t crc8_one_wire(const uint8_t *bytes, uint8_t count);

/*
 * Written into the probe's two alarm bytes before each conversion. They are lost with its power, which is how 85 °C
 * after a power-on is told from 85 °C measured.
 */
#define PROBE_MARK_HIGH 0x4C
#define PROBE_MARK_LOW 0x44
/* 12 bits: steps of 1/16 °C, 750 ms. */
#define PROBE_CONFIG 0x7F

/* The nine bytes of a DS18B20's scratchpad as °C times 10,000 (a sixteenth is 625). */
struct datum probe_from(const uint8_t scratchpad[9]);

/*
 * Bridge counts a kilogram on the scale: 2^23 counts are half the supply over the gain of 128, 3.906 mV for each volt of
 * excitation, and a 5 kg cell of 1 mV/V gives 1 mV/V at 5 kg. The host's calibration takes it from there.
 */
#ifndef CELL_COUNTS_PER_KG
#define CELL_COUNTS_PER_KG 429497
#endif

/* Mean of `count` conversions summed up, as grams times 100. */
int32_t cell_grams_x100(int32_t sum, uint8_t count);

#ifdef __cplusplus
}
#endif

#endif
