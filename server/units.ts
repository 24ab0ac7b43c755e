/** Ground: constants of nature and of the SI that several rooms share. */

/** 0 °C in kelvin (definition). */
export const ZERO_CELSIUS_K = 273.15;
/** Molar gas constant, J/(mol·K) (CODATA 2018, exact). */
export const GAS_CONSTANT_J_PER_MOL_K = 8.314462618;
/** Molar mass of water, kg/mol (IAPWS-95). */
export const WATER_MOLAR_MASS_KG_PER_MOL = 0.018015268;
/** Specific gas constant of water vapour, J/(kg·K). */
export const WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K = GAS_CONSTANT_J_PER_MOL_K / WATER_MOLAR_MASS_KG_PER_MOL;
/** Standard atmosphere, Pa (definition). */
export const STANDARD_PRESSURE_PA = 101_325;

export const kelvin = (celsius: number): number => celsius + ZERO_CELSIUS_K;
