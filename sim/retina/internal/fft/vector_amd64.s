#include "textflag.h"

// The passes of split.go, join.go and lead.go, eight columns at a time. Every sum and
// product is the same as there, in the same order and without fused rounding, so
// that the results are the same to the last bit.
//
// Registers: DI, SI point to real and imaginary parts, DX to the twiddles; R8 is the
// distance from input to input in bytes, R9, R10, R11 are 3, 5 and 7 times that.

DATA root<>+0(SB)/4, $0.70710678118654752440
GLOBL root<>(SB), RODATA, $4

// The parts of eight inputs: sums (op VADDPS) or differences (op VSUBPS) of
// opposite ones, real to Y0-Y3, imaginary to Y4-Y7.
#define OPPOSITE(op) \
	VMOVUPS (DI), Y0            \
	VMOVUPS (DI)(R8*1), Y1      \
	VMOVUPS (DI)(R8*2), Y2      \
	VMOVUPS (DI)(R9*1), Y3      \
	op      (DI)(R8*4), Y0, Y0  \
	op      (DI)(R10*1), Y1, Y1 \
	op      (DI)(R9*2), Y2, Y2  \
	op      (DI)(R11*1), Y3, Y3 \
	VMOVUPS (SI), Y4            \
	VMOVUPS (SI)(R8*1), Y5      \
	VMOVUPS (SI)(R8*2), Y6      \
	VMOVUPS (SI)(R9*1), Y7      \
	op      (SI)(R8*4), Y4, Y4  \
	op      (SI)(R10*1), Y5, Y5 \
	op      (SI)(R9*2), Y6, Y6  \
	op      (SI)(R11*1), Y7, Y7

// From the differences: frequency 1 in Y8, Y9; 3 in Y10, Y11; 5 in Y12, Y13; 7 in
// Y14, Y7. Y15 holds the root.
#define ODD \
	OPPOSITE(VSUBPS)      \
	VADDPS Y5, Y1, Y8     \
	VSUBPS Y1, Y5, Y9     \
	VSUBPS Y3, Y7, Y10    \
	VADDPS Y7, Y3, Y11    \
	VMULPS Y15, Y8, Y8    \
	VMULPS Y15, Y9, Y9    \
	VMULPS Y15, Y10, Y10  \
	VMULPS Y15, Y11, Y11  \
	VADDPS Y6, Y0, Y1     \
	VSUBPS Y6, Y0, Y0     \
	VSUBPS Y2, Y4, Y5     \
	VADDPS Y2, Y4, Y4     \
	VADDPS Y10, Y8, Y2    \
	VADDPS Y11, Y9, Y3    \
	VSUBPS Y11, Y9, Y6    \
	VSUBPS Y8, Y10, Y7    \
	VADDPS Y2, Y1, Y8     \
	VADDPS Y6, Y5, Y9     \
	VADDPS Y3, Y0, Y10    \
	VADDPS Y7, Y4, Y11    \
	VSUBPS Y2, Y1, Y12    \
	VSUBPS Y6, Y5, Y13    \
	VSUBPS Y3, Y0, Y14    \
	VSUBPS Y7, Y4, Y7

// Four inputs in Y0-Y3 (real) and Y4-Y7 (imaginary): frequency 0 in Y0, Y2; 1 in
// Y5, Y6; 2 in Y3, Y4; 3 in Y7, Y8.
#define FOUR \
	VADDPS Y2, Y0, Y8   \
	VSUBPS Y2, Y0, Y9   \
	VADDPS Y6, Y4, Y10  \
	VSUBPS Y6, Y4, Y11  \
	VADDPS Y3, Y1, Y12  \
	VSUBPS Y7, Y5, Y13  \
	VADDPS Y7, Y5, Y14  \
	VSUBPS Y1, Y3, Y1   \
	VADDPS Y12, Y8, Y0  \
	VADDPS Y14, Y10, Y2 \
	VSUBPS Y12, Y8, Y3  \
	VSUBPS Y14, Y10, Y4 \
	VADDPS Y13, Y9, Y5  \
	VADDPS Y1, Y11, Y6  \
	VSUBPS Y13, Y9, Y7  \
	VSUBPS Y1, Y11, Y8

// From the sums: as FOUR, frequencies 0, 2, 4 and 6.
#define EVEN \
	OPPOSITE(VADDPS) \
	FOUR

// x + iy turned by a twiddle, to u + iv; x is lost.
#define TURN(x, y, cos, sin, u, v) \
	VMULPS cos, x, u \
	VMULPS sin, y, v \
	VSUBPS v, u, u   \
	VMULPS sin, x, v \
	VMULPS cos, y, x \
	VADDPS x, v, v


#define STRIDES \
	LEAQ (R8)(R8*2), R9  \
	LEAQ (R8)(R8*4), R10 \
	LEAQ (R9)(R8*4), R11

// The odd frequencies wait on the stack, since they overwrite inputs.
#define WAIT(u1, v1, u3, v3, u5, v5, u7, v7) \
	VMOVUPS u1, 0(SP)   \
	VMOVUPS v1, 32(SP)  \
	VMOVUPS u3, 64(SP)  \
	VMOVUPS v3, 96(SP)  \
	VMOVUPS u5, 128(SP) \
	VMOVUPS v5, 160(SP) \
	VMOVUPS u7, 192(SP) \
	VMOVUPS v7, 224(SP)

#define PUTODD \
	VMOVUPS 0(SP), Y0            \
	VMOVUPS 32(SP), Y1           \
	VMOVUPS 64(SP), Y2           \
	VMOVUPS 96(SP), Y3           \
	VMOVUPS 128(SP), Y4          \
	VMOVUPS 160(SP), Y5          \
	VMOVUPS 192(SP), Y6          \
	VMOVUPS 224(SP), Y7          \
	VMOVUPS Y0, (DI)(R8*1)       \
	VMOVUPS Y1, (SI)(R8*1)       \
	VMOVUPS Y2, (DI)(R9*1)       \
	VMOVUPS Y3, (SI)(R9*1)       \
	VMOVUPS Y4, (DI)(R10*1)      \
	VMOVUPS Y5, (SI)(R10*1)      \
	VMOVUPS Y6, (DI)(R11*1)      \
	VMOVUPS Y7, (SI)(R11*1)

#define PUTEVEN(u2, v2, u4, v4, u6, v6) \
	VMOVUPS Y0, (DI)          \
	VMOVUPS Y2, (SI)          \
	VMOVUPS u2, (DI)(R8*2)    \
	VMOVUPS v2, (SI)(R8*2)    \
	VMOVUPS u4, (DI)(R8*4)    \
	VMOVUPS v4, (SI)(R8*4)    \
	VMOVUPS u6, (DI)(R9*2)    \
	VMOVUPS v6, (SI)(R9*2)

// Eight columns without twiddles.
#define BUTTERFLY \
	ODD                                     \
	WAIT(Y8, Y9, Y10, Y11, Y12, Y13, Y14, Y7) \
	EVEN                                    \
	PUTEVEN(Y5, Y6, Y3, Y4, Y7, Y8)         \
	PUTODD

// An input turned in place.
#define TURNED(re, im, cos, sin) \
	VMOVUPS re, Y0              \
	VMOVUPS im, Y1              \
	TURN(Y0, Y1, cos, sin, Y2, Y3) \
	VMOVUPS Y2, re              \
	VMOVUPS Y3, im

// Eight rows of eight, in place, become columns.
#define TRANSPOSE(p) \
	VMOVUPS 0(p), Y0             \
	VMOVUPS 32(p), Y1            \
	VMOVUPS 64(p), Y2            \
	VMOVUPS 96(p), Y3            \
	VMOVUPS 128(p), Y4           \
	VMOVUPS 160(p), Y5           \
	VMOVUPS 192(p), Y6           \
	VMOVUPS 224(p), Y7           \
	VUNPCKLPS Y1, Y0, Y8         \
	VUNPCKHPS Y1, Y0, Y9         \
	VUNPCKLPS Y3, Y2, Y10        \
	VUNPCKHPS Y3, Y2, Y11        \
	VUNPCKLPS Y5, Y4, Y12        \
	VUNPCKHPS Y5, Y4, Y13        \
	VUNPCKLPS Y7, Y6, Y14        \
	VUNPCKHPS Y7, Y6, Y15        \
	VSHUFPS $0x44, Y10, Y8, Y0   \
	VSHUFPS $0xEE, Y10, Y8, Y1   \
	VSHUFPS $0x44, Y11, Y9, Y2   \
	VSHUFPS $0xEE, Y11, Y9, Y3   \
	VSHUFPS $0x44, Y14, Y12, Y4  \
	VSHUFPS $0xEE, Y14, Y12, Y5  \
	VSHUFPS $0x44, Y15, Y13, Y6  \
	VSHUFPS $0xEE, Y15, Y13, Y7  \
	VPERM2F128 $0x20, Y4, Y0, Y8  \
	VPERM2F128 $0x20, Y5, Y1, Y9  \
	VPERM2F128 $0x20, Y6, Y2, Y10 \
	VPERM2F128 $0x20, Y7, Y3, Y11 \
	VPERM2F128 $0x31, Y4, Y0, Y12 \
	VPERM2F128 $0x31, Y5, Y1, Y13 \
	VPERM2F128 $0x31, Y6, Y2, Y14 \
	VPERM2F128 $0x31, Y7, Y3, Y15 \
	VMOVUPS Y8, 0(p)             \
	VMOVUPS Y9, 32(p)            \
	VMOVUPS Y10, 64(p)           \
	VMOVUPS Y11, 96(p)           \
	VMOVUPS Y12, 128(p)          \
	VMOVUPS Y13, 160(p)          \
	VMOVUPS Y14, 192(p)          \
	VMOVUPS Y15, 224(p)

// func splits(re, im, tw *float32, stride, step, turn, count int)
TEXT ·splits(SB), NOSPLIT, $256-56
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ step+32(FP), R12
	MOVQ turn+40(FP), R13
	MOVQ count+48(FP), CX
	STRIDES
	LEAQ (DX)(R8*8), BX
	VBROADCASTSS root<>(SB), Y15

split:
	ODD
	TURN(Y8, Y9, (DX), (DX)(R8*1), Y0, Y1)
	TURN(Y10, Y11, (DX)(R8*4), (DX)(R10*1), Y2, Y3)
	TURN(Y12, Y13, (BX), (BX)(R8*1), Y4, Y5)
	TURN(Y14, Y7, (BX)(R8*4), (BX)(R10*1), Y6, Y8)
	WAIT(Y0, Y1, Y2, Y3, Y4, Y5, Y6, Y8)
	EVEN
	TURN(Y5, Y6, (DX)(R8*2), (DX)(R9*1), Y9, Y10)
	TURN(Y3, Y4, (DX)(R9*2), (DX)(R11*1), Y11, Y12)
	TURN(Y7, Y8, (BX)(R8*2), (BX)(R9*1), Y13, Y14)
	PUTEVEN(Y9, Y10, Y11, Y12, Y13, Y14)
	PUTODD
	ADDQ R12, DI
	ADDQ R12, SI
	ADDQ R13, DX
	ADDQ R13, BX
	DECQ CX
	JNZ  split
	VZEROUPPER
	RET

// func joins(re, im, tw *float32, stride, step, turn, count int)
TEXT ·joins(SB), NOSPLIT, $256-56
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ step+32(FP), R12
	MOVQ turn+40(FP), R13
	MOVQ count+48(FP), CX
	STRIDES
	LEAQ (DX)(R8*8), BX
	VBROADCASTSS root<>(SB), Y15

join:
	TURNED((DI)(R8*1), (SI)(R8*1), (DX), (DX)(R8*1))
	TURNED((DI)(R8*2), (SI)(R8*2), (DX)(R8*2), (DX)(R9*1))
	TURNED((DI)(R9*1), (SI)(R9*1), (DX)(R8*4), (DX)(R10*1))
	TURNED((DI)(R8*4), (SI)(R8*4), (DX)(R9*2), (DX)(R11*1))
	TURNED((DI)(R10*1), (SI)(R10*1), (BX), (BX)(R8*1))
	TURNED((DI)(R9*2), (SI)(R9*2), (BX)(R8*2), (BX)(R9*1))
	TURNED((DI)(R11*1), (SI)(R11*1), (BX)(R8*4), (BX)(R10*1))
	BUTTERFLY
	ADDQ R12, DI
	ADDQ R12, SI
	ADDQ R13, DX
	ADDQ R13, BX
	DECQ CX
	JNZ  join
	VZEROUPPER
	RET

// func eights(re, im *float32, count int)
TEXT ·eights(SB), NOSPLIT, $256-24
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ count+16(FP), CX
	MOVQ $32, R8
	STRIDES

eight:
	TRANSPOSE(DI)
	TRANSPOSE(SI)
	VBROADCASTSS root<>(SB), Y15
	BUTTERFLY
	TRANSPOSE(DI)
	TRANSPOSE(SI)
	ADDQ $256, DI
	ADDQ $256, SI
	DECQ CX
	JNZ  eight
	VZEROUPPER
	RET

// func splits2(re, im, tw *float32, stride, count int)
TEXT ·splits2(SB), NOSPLIT, $0-40
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ count+32(FP), CX

split2:
	VMOVUPS (DI), Y0
	VMOVUPS (SI), Y1
	VMOVUPS (DI)(R8*1), Y2
	VMOVUPS (SI)(R8*1), Y3
	VADDPS  Y2, Y0, Y4
	VADDPS  Y3, Y1, Y5
	VSUBPS  Y2, Y0, Y0
	VSUBPS  Y3, Y1, Y1
	TURN(Y0, Y1, (DX), (DX)(R8*1), Y6, Y7)
	VMOVUPS Y4, (DI)
	VMOVUPS Y5, (SI)
	VMOVUPS Y6, (DI)(R8*1)
	VMOVUPS Y7, (SI)(R8*1)
	ADDQ    $32, DI
	ADDQ    $32, SI
	ADDQ    $32, DX
	DECQ    CX
	JNZ     split2
	VZEROUPPER
	RET

// func joins2(re, im, tw *float32, stride, count int)
TEXT ·joins2(SB), NOSPLIT, $0-40
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ count+32(FP), CX

join2:
	VMOVUPS (DI)(R8*1), Y2
	VMOVUPS (SI)(R8*1), Y3
	TURN(Y2, Y3, (DX), (DX)(R8*1), Y6, Y7)
	VMOVUPS (DI), Y0
	VMOVUPS (SI), Y1
	VADDPS  Y6, Y0, Y4
	VADDPS  Y7, Y1, Y5
	VSUBPS  Y6, Y0, Y0
	VSUBPS  Y7, Y1, Y1
	VMOVUPS Y4, (DI)
	VMOVUPS Y5, (SI)
	VMOVUPS Y0, (DI)(R8*1)
	VMOVUPS Y1, (SI)(R8*1)
	ADDQ    $32, DI
	ADDQ    $32, SI
	ADDQ    $32, DX
	DECQ    CX
	JNZ     join2
	VZEROUPPER
	RET

// func splits4(re, im, tw *float32, stride, count int)
TEXT ·splits4(SB), NOSPLIT, $0-40
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ count+32(FP), CX
	STRIDES

split4:
	VMOVUPS (DI), Y0
	VMOVUPS (DI)(R8*1), Y1
	VMOVUPS (DI)(R8*2), Y2
	VMOVUPS (DI)(R9*1), Y3
	VMOVUPS (SI), Y4
	VMOVUPS (SI)(R8*1), Y5
	VMOVUPS (SI)(R8*2), Y6
	VMOVUPS (SI)(R9*1), Y7
	FOUR
	TURN(Y5, Y6, (DX), (DX)(R8*1), Y9, Y10)
	TURN(Y3, Y4, (DX)(R8*2), (DX)(R9*1), Y11, Y12)
	TURN(Y7, Y8, (DX)(R8*4), (DX)(R10*1), Y13, Y14)
	VMOVUPS Y0, (DI)
	VMOVUPS Y2, (SI)
	VMOVUPS Y9, (DI)(R8*1)
	VMOVUPS Y10, (SI)(R8*1)
	VMOVUPS Y11, (DI)(R8*2)
	VMOVUPS Y12, (SI)(R8*2)
	VMOVUPS Y13, (DI)(R9*1)
	VMOVUPS Y14, (SI)(R9*1)
	ADDQ    $32, DI
	ADDQ    $32, SI
	ADDQ    $32, DX
	DECQ    CX
	JNZ     split4
	VZEROUPPER
	RET

// func joins4(re, im, tw *float32, stride, count int)
TEXT ·joins4(SB), NOSPLIT, $0-40
	MOVQ re+0(FP), DI
	MOVQ im+8(FP), SI
	MOVQ tw+16(FP), DX
	MOVQ stride+24(FP), R8
	MOVQ count+32(FP), CX
	STRIDES

join4:
	VMOVUPS (DI)(R8*1), Y8
	VMOVUPS (SI)(R8*1), Y9
	TURN(Y8, Y9, (DX), (DX)(R8*1), Y1, Y5)
	VMOVUPS (DI)(R8*2), Y8
	VMOVUPS (SI)(R8*2), Y9
	TURN(Y8, Y9, (DX)(R8*2), (DX)(R9*1), Y2, Y6)
	VMOVUPS (DI)(R9*1), Y8
	VMOVUPS (SI)(R9*1), Y9
	TURN(Y8, Y9, (DX)(R8*4), (DX)(R10*1), Y3, Y7)
	VMOVUPS (DI), Y0
	VMOVUPS (SI), Y4
	FOUR
	VMOVUPS Y0, (DI)
	VMOVUPS Y2, (SI)
	VMOVUPS Y5, (DI)(R8*1)
	VMOVUPS Y6, (SI)(R8*1)
	VMOVUPS Y3, (DI)(R8*2)
	VMOVUPS Y4, (SI)(R8*2)
	VMOVUPS Y7, (DI)(R9*1)
	VMOVUPS Y8, (SI)(R9*1)
	ADDQ    $32, DI
	ADDQ    $32, SI
	ADDQ    $32, DX
	DECQ    CX
	JNZ     join4
	VZEROUPPER
	RET
