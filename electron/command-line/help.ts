export const help = `Lockstep puts two filmed reps in step and says what changed.

  lockstep follow CLIP --lift squat|bench|deadlift --out DIR
      [--seed T,X,Y] [--disc-mm 450] [--plumb X1,Y1,X2,Y2] [--slow-motion K] [--facing left|right]
      [--rim T,X,Y,R] [--sleeve-end T,X,Y[,CM[,M]]] [--whole]

  lockstep pair --reference CLIP --today CLIP --lift squat|bench|deadlift --out DIR
      [--reference-rep N] [--today-rep N] [--reference-kg M] [--today-kg M] [--same-camera]
      and each option of follow with the prefix --reference- or --today-

  --seed         where the near disc's centre is: seconds of file time, pixels as displayed
  --disc-mm      the diameter of the largest disc on the near end, where you measured it
  --rim          the near disc's rim where you drew it: seconds of file time, centre and radius in pixels
  --sleeve-end   follow the end of the sleeve, where the disc cannot be followed: seconds of file time, pixels; how far it
                 stands out from the disc, cm, and how far away the camera stood, m, where you measured them; wants --rim
  --plumb        two points on something upright, pixels as displayed
  --slow-motion  how many times slower than life the clip plays
  --facing       which way the lifter faces in the picture; on the bench, where the feet are (right)
  --whole        follow every picture, also in long stretches in which nothing in the picture moves by the key frames
  --same-camera  the camera did not move between the two clips

Exit status: 0 done, 2 the call's words are wrong, 3 a file cannot be used, 4 no bar or no rep, 130 stopped.`;
