/*
 * One step of the reduced drying model in C, line for line what stepModel does in TypeScript: the yardstick for its
 * speed. Constants that the physics exports come in with -D, so that they are folded here as they are there; the
 * model's own are repeated, and the comparison of results catches any that differ.
 *
 * kernel <file> <repeats>: reads doubles (see kernel-trip.ts for their order), runs every member through the whole
 * history so many times, writes the processor time in ns and then the end of every member.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define SHELLS 6
#define MODES 3

static const double PACK_VAPOUR_FILM = 0.006, LID_EXCHANGE_S = 20;
static const double LATENT_J_PER_G = 2400, MOST_COOLING = 20, REEL_AHEAD = 0.15, PAPER_OUTER = 0.3, PAPER_FILM = 2e-4;
static const double PAPER_AT_HALF = 0.07, PAPER_POWER = 0.55, PAPER_LAG_K = 3600, PAPER_LAG_AT_K = 343.15;

typedef struct {
  double diffusivityScale, slope, curvature, vent, volume, packScale, filmScale, heatScale, dryMassG, paperG, paperLagS;
} Member;
typedef struct {
  double share[SHELLS], face[SHELLS + 1], heat[SHELLS], side[SHELLS], depth, outerArea;
} Shape;
typedef struct {
  double T[SHELLS], modes[SHELLS * MODES], activity[SHELLS], moisture[SHELLS], box, outer, inner;
} State;
typedef struct {
  Member member;
  Shape shape;
  State start;
} Spool;

static inline double min(double a, double b) { return a < b ? a : b; }
static inline double max(double a, double b) { return a > b ? a : b; }
static inline double share(double x) { return 1 - 1 / (1 + x * (1 + x * (0.5 + x * (1.0 / 6 + x * (1.0 / 24))))); }

static void stepHeat(const Shape *shape, const Member *member, State *state, double dt, double boxC) {
  double upper[SHELLS], rhs[SHELLS], left = 0, carried = 0;
  double air = min(TABLE_HIGHEST - 1, max(TABLE_LOWEST, boxC));
  double k = (PACK_CONDUCTIVITY * member->heatScale) / shape->depth;
  double h = PACK_FILM * member->heatScale;
  double outer = shape->outerArea / (1 / h + 0.5 / k);
  for (int i = 0; i < SHELLS; i++) {
    double heat = shape->heat[i] / dt;
    double side = shape->side[i] * member->heatScale;
    double right = i == SHELLS - 1 ? outer : k * shape->face[i + 1];
    double diagonal = heat + side + left + right;
    upper[i] = right / diagonal;
    rhs[i] = (heat * state->T[i] + side * air + carried) / diagonal;
    left = right * (1 - upper[i]);
    carried = right * rhs[i];
  }
  double t = air;
  for (int i = SHELLS - 1; i >= 0; i--) state->T[i] = t = rhs[i] + upper[i] * t;
}

static void step(const double *table, const Shape *shape, const Member *member, State *state, double dt, double boxC,
                 double supply, double lidS) {
  double upper[SHELLS], rhs[SHELLS], gain[SHELLS * MODES], intercept[SHELLS], slope[SHELLS], saturations[SHELLS];
  stepHeat(shape, member, state, dt, boxC);
  double A = member->slope, B = member->curvature, gramsPerPercent = member->dryMassG * 0.01;
  double perS = 1 / dt, perDepth = 1 / shape->depth, conductivityBefore = 0, left = 0;
  for (int i = 0; i < SHELLS; i++) {
    double place = (state->T[i] - TABLE_LOWEST) * TABLE_STEPS;
    int row = (int)place;
    double part = place - row;
    const double *at = table + row * TABLE_COLUMNS;
    double saturation = at[0] + part * (at[5] - at[0]);
    double FA = A * (at[1] + part * (at[6] - at[1]));
    double D = member->diffusivityScale * (at[2] + part * (at[7] - at[2]));
    if (at[3] > 0) D *= exp(at[3] * state->moisture[i]);
    double conductivity = member->packScale * at[4];

    double x = D * dt, *u = state->modes + i * MODES, *g = gain + i * MODES;
    g[0] = share(x * RATE1);
    g[1] = share(x * RATE2);
    g[2] = share(x * RATE3);
    double reach = SHARE1 * g[0] + SHARE2 * g[1] + SHARE3 * g[2];
    double held = SHARE1 * g[0] * u[0] + SHARE2 * g[1] * u[1] + SHARE3 * g[2] * u[2];

    double a = min(state->activity[i], 1);
    double rest = 1 / max(0.05, 1 - B * a);
    double perActivity = B > 0 ? FA * rest * rest : FA * rest;
    double w0 = B > 0 ? -FA * B * a * a * rest * rest : 0;
    intercept[i] = w0;
    slope[i] = perActivity / saturation;
    saturations[i] = saturation;

    double grams = gramsPerPercent * shape->share[i] * perS;
    double S0 = grams * (held - reach * w0), S1 = grams * reach * slope[i];
    if (i > 0) {
      double G = shape->face[i] * perDepth *
                 ((2 * conductivity * conductivityBefore) / (conductivity + conductivityBefore));
      double diagonal = left + G;
      upper[i - 1] = G / diagonal;
      rhs[i - 1] = rhs[i - 1] / diagonal;
      left = G * (1 - upper[i - 1]) + S1;
      rhs[i] = S0 + G * rhs[i - 1];
    } else {
      left = S1;
      rhs[0] = S0;
    }
    conductivityBefore = conductivity;
  }
  double Gs = shape->outerArea /
              (1 / (PACK_VAPOUR_FILM * member->filmScale) + (0.5 * shape->depth) / conductivityBefore);
  double diagonal = left + Gs;
  upper[SHELLS - 1] = Gs / diagonal;
  rhs[SHELLS - 1] = rhs[SHELLS - 1] / diagonal;

  double kelvin = boxC + 273.15, volume = (member->volume * 296.15 * perS) / kelvin;
  double vent = member->vent + (lidS > 0 ? (lidS * perS * member->volume) / LID_EXCHANGE_S : 0);
  double S0 = 0, S1 = 0, own = 0, perE = 0, coreGain = 0;
  if (member->paperG > 0) {
    double reelC = state->T[SHELLS - 1] + REEL_AHEAD * (boxC - state->T[SHELLS - 1]), place = (reelC - TABLE_LOWEST) * TABLE_STEPS;
    const double *at = table + (int)place * TABLE_COLUMNS;
    double saturation = at[0] + (place - (int)place) * (at[5] - at[0]);
    double held = max(1e-4, state->outer / (PAPER_OUTER * member->paperG));
    double activityHeld = 0.5 * pow(held / PAPER_AT_HALF, 1 / PAPER_POWER);
    double P = (PAPER_OUTER * member->paperG * held) / (activityHeld * saturation);
    double G = PAPER_FILM * member->filmScale;
    double k = dt / (member->paperLagS * exp(PAPER_LAG_K * (1 / (reelC + 273.15) - 1 / PAPER_LAG_AT_K)));
    coreGain = k / (1 + k);
    double whole = 1 + (coreGain * (1 - PAPER_OUTER)) / PAPER_OUTER + (dt * G) / P;
    own = (state->outer + coreGain * state->inner) / whole;
    perE = (dt * G) / whole;
    S0 = (G * own) / P;
    S1 = G * (1 - perE / P);
  }
  double boxDiagonal = volume + Gs * (1 - upper[SHELLS - 1]) + vent + S1;
  double box = (volume * state->box + vent * supply + S0 + Gs * rhs[SHELLS - 1]) / boxDiagonal;
  state->box = box;
  if (member->paperG > 0) {
    state->outer = own + perE * box;
    state->inner += coreGain * ((state->outer * (1 - PAPER_OUTER)) / PAPER_OUTER - state->inner);
  }

  double e = box;
  for (int i = SHELLS - 1; i >= 0; i--) {
    e = rhs[i] + upper[i] * e;
    double surface = intercept[i] + slope[i] * e, *u = state->modes + i * MODES, *g = gain + i * MODES;
    for (int m = 0; m < MODES; m++) u[m] += g[m] * (surface - u[m]);
    double w = SHARE1 * u[0] + SHARE2 * u[1] + SHARE3 * u[2];
    double cooling = (LATENT_J_PER_G * gramsPerPercent * shape->share[i] * (state->moisture[i] - w)) / shape->heat[i];
    state->T[i] -= min(MOST_COOLING, max(-MOST_COOLING, cooling));
    state->moisture[i] = w;
    state->activity[i] = e / saturations[i];
  }
}

int main(int count, char **words) {
  FILE *file = count == 3 ? fopen(words[1], "rb") : NULL;
  double head[3];
  if (!file || fread(head, sizeof head, 1, file) != 1) return 2;
  size_t members = head[0], steps = head[1], tableLength = head[2], spoolLength = sizeof(Spool) / sizeof(double);
  size_t length = tableLength + steps * 3 + members * (spoolLength + steps);
  double *given = malloc(length * sizeof *given);
  State *ends = malloc(members * sizeof *ends);
  if (!given || !ends || fread(given, sizeof *given, length, file) != length) return 3;
  const double *table = given, *dt = table + tableLength, *airC = dt + steps, *lidS = airC + steps;
  const double *supplies = lidS + steps;
  const Spool *spools = (const Spool *)(supplies + members * steps);

  struct timespec from, to;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
  for (int repeat = atoi(words[2]); repeat > 0; repeat--)
    for (size_t m = 0; m < members; m++) {
      State state = spools[m].start;
      const double *supply = supplies + m * steps;
      for (size_t i = 0; i < steps; i++)
        step(table, &spools[m].shape, &spools[m].member, &state, dt[i], airC[i], supply[i], lidS[i]);
      ends[m] = state;
    }
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
  double ns = 1e9 * (to.tv_sec - from.tv_sec) + (to.tv_nsec - from.tv_nsec);
  fwrite(&ns, sizeof ns, 1, stdout);
  fwrite(ends, sizeof *ends, members, stdout);
  return 0;
}
