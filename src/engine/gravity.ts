/** m/s^2, standard acceleration of free fall. Source: 3rd CGPM (1901), Declaration 2; exact. */
export const STANDARD_GRAVITY = 9.80665;
