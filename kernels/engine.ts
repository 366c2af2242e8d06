/** What the engine itself works out, so that compiled code has what the plain code has to the bit. */
export declare function exp(x: f64): f64;
export declare function log(x: f64): f64;
export declare function sin(x: f64): f64;
export declare function cos(x: f64): f64;
export declare function acos(x: f64): f64;
export declare function atan2(y: f64, x: f64): f64;
export declare function hypot(x: f64, y: f64): f64;
