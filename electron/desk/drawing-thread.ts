/**
 * The file of the threads that draw, beside this one as built in dist: one for all that is drawn, so that a thread that compared two
 * clips has the code at hand that a rep's measures take.
 */
export const drawingThread = new URL('./drawing-worker.js', import.meta.url);
