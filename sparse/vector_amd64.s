#include "textflag.h"

// Kernels of the triangular solutions, in AVX2 with fused multiply-add. The meaning of every function is stated at its
// portable twin in vector.go; a test holds the two together.

#define COLUMN_ARGUMENTS \
	MOVQ quads+0(FP), CX; \
	MOVQ a+8(FP), SI; \
	MOVQ lda+16(FP), R9; \
	SHLQ $3, R9; \
	LEAQ (R9)(R9*2), R10

// func subtract4(quads int, a *float64, lda int, x, t *float64)
TEXT ·subtract4(SB), NOSPLIT, $0-40
	COLUMN_ARGUMENTS
	MOVQ x+24(FP), DX
	MOVQ t+32(FP), DI
	VBROADCASTSD 0(DX), Y0
	VBROADCASTSD 8(DX), Y1
	VBROADCASTSD 16(DX), Y2
	VBROADCASTSD 24(DX), Y3
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest

two:
	VMOVUPD (DI), Y4
	VMOVUPD 32(DI), Y5
	VFNMADD231PD (SI), Y0, Y4
	VFNMADD231PD 32(SI), Y0, Y5
	VFNMADD231PD (SI)(R9*1), Y1, Y4
	VFNMADD231PD 32(SI)(R9*1), Y1, Y5
	VFNMADD231PD (SI)(R9*2), Y2, Y4
	VFNMADD231PD 32(SI)(R9*2), Y2, Y5
	VFNMADD231PD (SI)(R10*1), Y3, Y4
	VFNMADD231PD 32(SI)(R10*1), Y3, Y5
	VMOVUPD Y4, (DI)
	VMOVUPD Y5, 32(DI)
	ADDQ $64, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two

rest:
	ANDQ $1, CX
	JZ   done
	VMOVUPD (DI), Y4
	VFNMADD231PD (SI), Y0, Y4
	VFNMADD231PD (SI)(R9*1), Y1, Y4
	VFNMADD231PD (SI)(R9*2), Y2, Y4
	VFNMADD231PD (SI)(R10*1), Y3, Y4
	VMOVUPD Y4, (DI)

done:
	VZEROUPPER
	RET

// func subtract1(quads int, a *float64, lda int, x, t *float64)
TEXT ·subtract1(SB), NOSPLIT, $0-40
	COLUMN_ARGUMENTS
	MOVQ x+24(FP), DX
	MOVQ t+32(FP), DI
	VBROADCASTSD 0(DX), Y0
	TESTQ CX, CX
	JZ   done

one:
	VMOVUPD (DI), Y4
	VFNMADD231PD (SI), Y0, Y4
	VMOVUPD Y4, (DI)
	ADDQ $32, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one

done:
	VZEROUPPER
	RET

// SUM adds the four numbers of ACC, using LOW and HIGH for its halves, into the low half.
#define SUM(ACC, LOW, HIGH) \
	VEXTRACTF128 $1, ACC, HIGH; \
	VADDPD HIGH, LOW, LOW; \
	VPERMILPD $1, LOW, HIGH; \
	VADDSD HIGH, LOW, LOW

// func dot4(quads int, a *float64, lda int, t, s *float64)
TEXT ·dot4(SB), NOSPLIT, $0-40
	COLUMN_ARGUMENTS
	MOVQ t+24(FP), DI
	MOVQ s+32(FP), DX
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	VXORPD Y8, Y8, Y8
	VXORPD Y9, Y9, Y9
	VXORPD Y10, Y10, Y10
	VXORPD Y11, Y11, Y11
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest

two:
	VMOVUPD (DI), Y4
	VMOVUPD 32(DI), Y5
	VFMADD231PD (SI), Y4, Y0
	VFMADD231PD 32(SI), Y5, Y8
	VFMADD231PD (SI)(R9*1), Y4, Y1
	VFMADD231PD 32(SI)(R9*1), Y5, Y9
	VFMADD231PD (SI)(R9*2), Y4, Y2
	VFMADD231PD 32(SI)(R9*2), Y5, Y10
	VFMADD231PD (SI)(R10*1), Y4, Y3
	VFMADD231PD 32(SI)(R10*1), Y5, Y11
	ADDQ $64, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two

rest:
	ANDQ $1, CX
	JZ   sum
	VMOVUPD (DI), Y4
	VFMADD231PD (SI), Y4, Y0
	VFMADD231PD (SI)(R9*1), Y4, Y1
	VFMADD231PD (SI)(R9*2), Y4, Y2
	VFMADD231PD (SI)(R10*1), Y4, Y3

sum:
	VADDPD Y8, Y0, Y0
	VADDPD Y9, Y1, Y1
	VADDPD Y10, Y2, Y2
	VADDPD Y11, Y3, Y3
	SUM(Y0, X0, X5)
	SUM(Y1, X1, X5)
	SUM(Y2, X2, X5)
	SUM(Y3, X3, X5)
	VMOVSD X0, (DX)
	VMOVSD X1, 8(DX)
	VMOVSD X2, 16(DX)
	VMOVSD X3, 24(DX)
	VZEROUPPER
	RET

// func dot1(quads int, a *float64, lda int, t, s *float64)
TEXT ·dot1(SB), NOSPLIT, $0-40
	COLUMN_ARGUMENTS
	MOVQ t+24(FP), DI
	MOVQ s+32(FP), DX
	VXORPD Y0, Y0, Y0
	TESTQ CX, CX
	JZ   sum

one:
	VMOVUPD (DI), Y4
	VFMADD231PD (SI), Y4, Y0
	ADDQ $32, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one

sum:
	SUM(Y0, X0, X5)
	VMOVSD X0, (DX)
	VZEROUPPER
	RET

// The same for four right sides at once: a row of x and t holds four numbers.

#define TAKE(AT, X, ACC) \
	VBROADCASTSD AT, Y6; \
	VFNMADD231PD X, Y6, ACC

// func subtract4x4(rows int, a *float64, lda int, x, t *float64)
TEXT ·subtract4x4(SB), NOSPLIT, $0-40
	MOVQ rows+0(FP), CX
	MOVQ a+8(FP), SI
	MOVQ lda+16(FP), R9
	SHLQ $3, R9
	LEAQ (R9)(R9*2), R10
	MOVQ x+24(FP), DX
	MOVQ t+32(FP), DI
	VMOVUPD 0(DX), Y0
	VMOVUPD 32(DX), Y1
	VMOVUPD 64(DX), Y2
	VMOVUPD 96(DX), Y3
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest

two:
	VMOVUPD (DI), Y4
	VMOVUPD 32(DI), Y5
	TAKE((SI), Y0, Y4)
	TAKE(8(SI), Y0, Y5)
	TAKE((SI)(R9*1), Y1, Y4)
	TAKE(8(SI)(R9*1), Y1, Y5)
	TAKE((SI)(R9*2), Y2, Y4)
	TAKE(8(SI)(R9*2), Y2, Y5)
	TAKE((SI)(R10*1), Y3, Y4)
	TAKE(8(SI)(R10*1), Y3, Y5)
	VMOVUPD Y4, (DI)
	VMOVUPD Y5, 32(DI)
	ADDQ $16, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two

rest:
	ANDQ $1, CX
	JZ   done
	VMOVUPD (DI), Y4
	TAKE((SI), Y0, Y4)
	TAKE((SI)(R9*1), Y1, Y4)
	TAKE((SI)(R9*2), Y2, Y4)
	TAKE((SI)(R10*1), Y3, Y4)
	VMOVUPD Y4, (DI)

done:
	VZEROUPPER
	RET

// func subtract1x4(rows int, a *float64, lda int, x, t *float64)
TEXT ·subtract1x4(SB), NOSPLIT, $0-40
	MOVQ rows+0(FP), CX
	MOVQ a+8(FP), SI
	MOVQ x+24(FP), DX
	MOVQ t+32(FP), DI
	VMOVUPD 0(DX), Y0
	TESTQ CX, CX
	JZ   done

one:
	VMOVUPD (DI), Y4
	TAKE((SI), Y0, Y4)
	VMOVUPD Y4, (DI)
	ADDQ $8, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one

done:
	VZEROUPPER
	RET

#define PUT(AT, T, ACC) \
	VBROADCASTSD AT, Y6; \
	VFMADD231PD T, Y6, ACC

// func dot4x4(rows int, a *float64, lda int, t, s *float64)
TEXT ·dot4x4(SB), NOSPLIT, $0-40
	MOVQ rows+0(FP), CX
	MOVQ a+8(FP), SI
	MOVQ lda+16(FP), R9
	SHLQ $3, R9
	LEAQ (R9)(R9*2), R10
	MOVQ t+24(FP), DI
	MOVQ s+32(FP), DX
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	VXORPD Y8, Y8, Y8
	VXORPD Y9, Y9, Y9
	VXORPD Y10, Y10, Y10
	VXORPD Y11, Y11, Y11
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest

two:
	VMOVUPD (DI), Y4
	VMOVUPD 32(DI), Y5
	PUT((SI), Y4, Y0)
	PUT(8(SI), Y5, Y8)
	PUT((SI)(R9*1), Y4, Y1)
	PUT(8(SI)(R9*1), Y5, Y9)
	PUT((SI)(R9*2), Y4, Y2)
	PUT(8(SI)(R9*2), Y5, Y10)
	PUT((SI)(R10*1), Y4, Y3)
	PUT(8(SI)(R10*1), Y5, Y11)
	ADDQ $16, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two

rest:
	ANDQ $1, CX
	JZ   sum
	VMOVUPD (DI), Y4
	PUT((SI), Y4, Y0)
	PUT((SI)(R9*1), Y4, Y1)
	PUT((SI)(R9*2), Y4, Y2)
	PUT((SI)(R10*1), Y4, Y3)

sum:
	VADDPD Y8, Y0, Y0
	VADDPD Y9, Y1, Y1
	VADDPD Y10, Y2, Y2
	VADDPD Y11, Y3, Y3
	VMOVUPD Y0, (DX)
	VMOVUPD Y1, 32(DX)
	VMOVUPD Y2, 64(DX)
	VMOVUPD Y3, 96(DX)
	VZEROUPPER
	RET

// func dot1x4(rows int, a *float64, lda int, t, s *float64)
TEXT ·dot1x4(SB), NOSPLIT, $0-40
	MOVQ rows+0(FP), CX
	MOVQ a+8(FP), SI
	MOVQ t+24(FP), DI
	MOVQ s+32(FP), DX
	VXORPD Y0, Y0, Y0
	TESTQ CX, CX
	JZ   sum

one:
	VMOVUPD (DI), Y4
	PUT((SI), Y4, Y0)
	ADDQ $8, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one

sum:
	VMOVUPD Y0, (DX)
	VZEROUPPER
	RET

// func addInto(quads int, src, dst *float64)
TEXT ·addInto(SB), NOSPLIT, $0-24
	MOVQ quads+0(FP), CX
	MOVQ src+8(FP), SI
	MOVQ dst+16(FP), DI
	TESTQ CX, CX
	JZ   done

one:
	VMOVUPD (DI), Y0
	VADDPD (SI), Y0, Y0
	VMOVUPD Y0, (DI)
	ADDQ $32, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one

done:
	VZEROUPPER
	RET

// func gather4(count int, col *int32, val, x, out *float64)
TEXT ·gather4(SB), NOSPLIT, $0-40
	MOVQ count+0(FP), CX
	MOVQ col+8(FP), SI
	MOVQ val+16(FP), DX
	MOVQ x+24(FP), DI
	MOVQ out+32(FP), R8
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest

two:
	MOVLQSX (SI), R9
	MOVLQSX 4(SI), R10
	SHLQ $5, R9
	SHLQ $5, R10
	VBROADCASTSD (DX), Y2
	VBROADCASTSD 8(DX), Y3
	VFMADD231PD (DI)(R9*1), Y2, Y0
	VFMADD231PD (DI)(R10*1), Y3, Y1
	ADDQ $8, SI
	ADDQ $16, DX
	DECQ BX
	JNZ  two

rest:
	ANDQ $1, CX
	JZ   sum
	MOVLQSX (SI), R9
	SHLQ $5, R9
	VBROADCASTSD (DX), Y2
	VFMADD231PD (DI)(R9*1), Y2, Y0

sum:
	VADDPD Y1, Y0, Y0
	VMOVUPD Y0, (R8)
	VZEROUPPER
	RET
