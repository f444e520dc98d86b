// The peer of the cure solver: the same slab, the same grid, the same rate law, integrated by CVODE (SUNDIALS, variable-order
// BDF, banded direct solver, analytic Jacobian). It is given what makes it fast: vectorised rates, memory that is kept from one
// solve to the next, and the cheapest of a ladder of tolerances that meets the asked error.
//
//   gcc -O3 -march=native -ffast-math -o cvode_slab cvode_slab.c -lsundials_cvode -lsundials_nvecserial -lm
//   ./cvode_slab REFERENCE_FILE KELVIN_ERROR CONVERSION_ERROR name=value ...       (names and units: struct slab below)
//
// Writes the reference trajectory (relative tolerance 1e-12) to the file: doubles, an output every half hour, at each output
// temperature in K and conversion of every node. Then one line: tolerance, steps, right-hand sides, error in K, error of
// conversion. Then, for each number N read from standard input, the least processor time of N solves, in s.
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>
#include <time.h>

enum { MOST_NODES = 512, RATE_SOLVES = 40, OUTPUT_SECONDS = 1800 };
static const double GAS_CONSTANT = 8.314462618, REFERENCE_KELVIN = 298.15, LEAST = 1e-12;

// SI units: m, W/(m2 K), W/(m K), kg/m3, J/(kg K), J/kg, 1/s, J/mol, K, h. kd0 = 0: no diffusion control.
static struct slab {
    double nodes, depth, base, top, conductivity, density, heat_capacity, heat, k1, k2, e1, e2, m, n;
    double glass0, glass1, lambda, kd0, b, free_slope, free_glass, free_least, start, conversion, air, hours;
} s;

static const struct { const char *name; double *value; } names[] = {
    {"nodes", &s.nodes}, {"depth", &s.depth}, {"base", &s.base}, {"top", &s.top}, {"conductivity", &s.conductivity},
    {"density", &s.density}, {"heat_capacity", &s.heat_capacity}, {"heat", &s.heat}, {"k1", &s.k1}, {"k2", &s.k2},
    {"e1", &s.e1}, {"e2", &s.e2}, {"m", &s.m}, {"n", &s.n}, {"glass0", &s.glass0}, {"glass1", &s.glass1},
    {"lambda", &s.lambda}, {"kd0", &s.kd0}, {"b", &s.b}, {"free_slope", &s.free_slope}, {"free_glass", &s.free_glass},
    {"free_least", &s.free_least}, {"start", &s.start}, {"conversion", &s.conversion}, {"air", &s.air}, {"hours", &s.hours},
};

static int nodes, outputs;
static long right_hand_sides;
static double conduction, base_loss, top_loss, heating; // in 1/s, 1/s, 1/s and K per unit conversion

static void prepare(void) {
    nodes = (int)s.nodes;
    outputs = (int)(s.hours * 3600 / OUTPUT_SECONDS + 0.5);
    double cell = s.depth / (nodes - 1), capacity = s.density * s.heat_capacity;
    conduction = s.conductivity / (capacity * cell * cell);
    base_loss = 2 * s.base / (capacity * cell);
    top_loss = 2 * s.top / (capacity * cell);
    heating = s.heat / s.heat_capacity;
}

static inline double greater(double a, double b) { return a > b ? a : b; }

// dα/dt = (1 − α)^n k, 1/k = 1/(k1 + k2 α^m) + 1/kd, kd = kd0 exp(−b/f), f from T − Tg: see the rate law of the engine.
static void rates(const double *kelvin, const double *conversion, double *rate) {
    for (int i = 0; i < nodes; i++) {
        double colder = (1 / REFERENCE_KELVIN - 1 / kelvin[i]) / GAS_CONSTANT;
        double a = greater(conversion[i], LEAST), left = greater(1 - conversion[i], LEAST);
        double power = s.m == 1 ? a : exp(s.m * log(a));
        double chemical = s.k1 * exp(s.e1 * colder) + s.k2 * exp(s.e2 * colder) * power;
        if (s.kd0 > 0) {
            double glass = s.glass0 + (s.glass1 - s.glass0) * s.lambda * a / (1 - (1 - s.lambda) * a);
            double volume = greater(s.free_slope * (kelvin[i] - glass) + s.free_glass, s.free_least);
            double diffusion = s.kd0 * exp(-s.b / volume);
            chemical *= diffusion / (chemical + diffusion);
        }
        rate[i] = exp(s.n * log(left)) * chemical;
    }
}

static void slopes(const double *kelvin, const double *conversion, double *per_kelvin, double *per_conversion) {
    for (int i = 0; i < nodes; i++) {
        double colder = (1 / REFERENCE_KELVIN - 1 / kelvin[i]) / GAS_CONSTANT, squared = kelvin[i] * kelvin[i] * GAS_CONSTANT;
        double a = greater(conversion[i], LEAST), left = greater(1 - conversion[i], LEAST);
        double power = s.m == 1 ? a : exp(s.m * log(a));
        double first = s.k1 * exp(s.e1 * colder), second = s.k2 * exp(s.e2 * colder) * power;
        double value = first + second, by_kelvin = (first * s.e1 + second * s.e2) / squared, by_conversion = second * s.m / a;
        if (s.kd0 > 0) {
            double shrunk = 1 - (1 - s.lambda) * a, span = (s.glass1 - s.glass0) * s.lambda;
            double line = s.free_slope * (kelvin[i] - s.glass0 - span * a / shrunk) + s.free_glass;
            double volume = greater(line, s.free_least), diffusion = s.kd0 * exp(-s.b / volume);
            double share = diffusion / (value + diffusion), rest = (1 - share) * (1 - share);
            double by_volume = line > s.free_least ? rest * diffusion * s.b * s.free_slope / (volume * volume) : 0;
            by_kelvin = share * share * by_kelvin + by_volume;
            by_conversion = share * share * by_conversion - by_volume * span / (shrunk * shrunk);
            value *= share;
        }
        double unreacted = exp(s.n * log(left));
        per_kelvin[i] = unreacted * by_kelvin;
        per_conversion[i] = unreacted * (by_conversion - value * s.n / left);
    }
}

// State: temperature and conversion of a node side by side, so that the Jacobian is a band of two on either side.
static void split(const double *y, double *kelvin, double *conversion) {
    for (int i = 0; i < nodes; i++) {
        kelvin[i] = y[2 * i];
        conversion[i] = y[2 * i + 1];
    }
}

static int derivative(double t, N_Vector state, N_Vector result, void *unused) {
    (void)t, (void)unused;
    double kelvin[MOST_NODES], conversion[MOST_NODES], rate[MOST_NODES], *d = N_VGetArrayPointer(result);
    int last = nodes - 1;
    right_hand_sides++;
    split(N_VGetArrayPointer(state), kelvin, conversion);
    rates(kelvin, conversion, rate);
    for (int i = 1; i < last; i++)
        d[2 * i] = conduction * (kelvin[i + 1] - 2 * kelvin[i] + kelvin[i - 1]) + heating * rate[i];
    d[0] = 2 * conduction * (kelvin[1] - kelvin[0]) - base_loss * (kelvin[0] - s.air) + heating * rate[0];
    d[2 * last] = 2 * conduction * (kelvin[last - 1] - kelvin[last]) - top_loss * (kelvin[last] - s.air) + heating * rate[last];
    for (int i = 0; i < nodes; i++)
        d[2 * i + 1] = rate[i];
    return 0;
}

static int jacobian(
    double t, N_Vector state, N_Vector f, SUNMatrix j, void *unused, N_Vector t1, N_Vector t2, N_Vector t3) {
    (void)t, (void)f, (void)unused, (void)t1, (void)t2, (void)t3;
    double kelvin[MOST_NODES], conversion[MOST_NODES], per_kelvin[MOST_NODES], per_conversion[MOST_NODES];
    int last = nodes - 1;
    split(N_VGetArrayPointer(state), kelvin, conversion);
    slopes(kelvin, conversion, per_kelvin, per_conversion);
    for (int i = 0; i < nodes; i++) {
        double loss = i == 0 ? base_loss : i == last ? top_loss : 0;
        SM_ELEMENT_B(j, 2 * i, 2 * i) = -2 * conduction - loss + heating * per_kelvin[i];
        SM_ELEMENT_B(j, 2 * i, 2 * i + 1) = heating * per_conversion[i];
        SM_ELEMENT_B(j, 2 * i + 1, 2 * i) = per_kelvin[i];
        SM_ELEMENT_B(j, 2 * i + 1, 2 * i + 1) = per_conversion[i];
        if (i > 0)
            SM_ELEMENT_B(j, 2 * i, 2 * i - 2) = i == last ? 2 * conduction : conduction;
        if (i < last)
            SM_ELEMENT_B(j, 2 * i, 2 * i + 2) = i == 0 ? 2 * conduction : conduction;
    }
    return 0;
}

static void *cvode;
static N_Vector state, absolute;

static void restart(double relative, double kelvin, double conversion) {
    double *y = N_VGetArrayPointer(state), *a = N_VGetArrayPointer(absolute);
    for (int i = 0; i < nodes; i++) {
        y[2 * i] = s.start;
        y[2 * i + 1] = s.conversion;
        a[2 * i] = kelvin;
        a[2 * i + 1] = conversion;
    }
    CVodeReInit(cvode, 0, state);
    CVodeSVtolerances(cvode, relative, absolute);
    right_hand_sides = 0;
}

static void create(void) {
    SUNContext context;
    SUNContext_Create(NULL, &context);
    state = N_VNew_Serial(2 * nodes, context);
    absolute = N_VNew_Serial(2 * nodes, context);
    cvode = CVodeCreate(CV_BDF, context);
    CVodeInit(cvode, derivative, 0, state);
    SUNMatrix matrix = SUNBandMatrix(2 * nodes, 2, 2, context);
    CVodeSVtolerances(cvode, 1e-6, absolute);
    CVodeSetLinearSolver(cvode, SUNLinSol_Band(state, matrix, context), matrix);
    CVodeSetJacFn(cvode, jacobian);
    CVodeSetMaxNumSteps(cvode, 1000000);
}

static int integrate(double seconds) {
    double reached;
    return CVode(cvode, seconds, state, &reached, CV_NORMAL);
}

static int trajectory(double *out) {
    int failed = 0;
    for (int o = 1; o <= outputs; o++) {
        failed |= integrate(o * (double)OUTPUT_SECONDS) < 0;
        memcpy(out + (size_t)(o - 1) * 2 * nodes, N_VGetArrayPointer(state), sizeof(double) * 2 * nodes);
    }
    return !failed;
}

// A temperature counts like a conversion when 30 K count like 1; a relative part of either kind is tried as well.
static void ask(double tolerance, double relative) { restart(relative * tolerance, 30 * tolerance, tolerance); }

static double processor_seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return now.tv_sec + now.tv_nsec * 1e-9;
}

static double least_seconds(int solves, double tolerance, double relative) {
    double least = INFINITY;
    for (int i = 0; i < solves; i++) {
        double started = processor_seconds();
        ask(tolerance, relative);
        integrate(s.hours * 3600);
        double took = processor_seconds() - started;
        least = took < least ? took : least;
    }
    return least;
}

static void errors(const double *out, const double *reference, double *kelvin, double *conversion) {
    *kelvin = *conversion = 0;
    for (int i = 0; i < outputs * nodes; i++) {
        *kelvin = greater(*kelvin, fabs(out[2 * i] - reference[2 * i]));
        *conversion = greater(*conversion, fabs(out[2 * i + 1] - reference[2 * i + 1]));
    }
}

static void read_slab(int count, char **arguments) {
    for (int a = 0; a < count; a++)
        for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
            size_t length = strlen(names[k].name);
            if (!strncmp(arguments[a], names[k].name, length) && arguments[a][length] == '=')
                *names[k].value = atof(arguments[a] + length + 1);
        }
}

static void write_reference(const char *file, double *reference) {
    restart(1e-12, 1e-10, 1e-13);
    FILE *to = fopen(file, "wb");
    if (!trajectory(reference) || !to || fwrite(reference, sizeof(double) * 2 * nodes, outputs, to) != (size_t)outputs)
        exit((fprintf(stderr, "No reference trajectory could be made.\n"), 1));
    fclose(to);
}

int main(int count, char **arguments) {
    if (count < 4)
        return fprintf(stderr, "Give a file, the errors allowed in K and of conversion, and the slab as name=value.\n"), 2;
    read_slab(count - 4, arguments + 4);
    prepare();
    create();
    size_t size = sizeof(double) * 2 * nodes * outputs;
    double *reference = malloc(size), *out = malloc(size), kelvin, conversion;
    write_reference(arguments[1], reference);

    static const double relative_parts[] = {0, 0.01, 0.1};
    double best = 0, best_relative = 0, least = 1e9;
    for (int step = 0; step <= 80; step++)
        for (int r = 0; r < 3; r++) {
            double tolerance = pow(10, -2 - step / 16.0);
            ask(tolerance, relative_parts[r]);
            if (!trajectory(out))
                continue;
            errors(out, reference, &kelvin, &conversion);
            if (kelvin > atof(arguments[2]) || conversion > atof(arguments[3]))
                continue;
            double seconds = least_seconds(RATE_SOLVES, tolerance, relative_parts[r]);
            if (seconds < least)
                (least = seconds, best = tolerance, best_relative = relative_parts[r]);
        }
    if (best == 0)
        return fprintf(stderr, "No tolerance of the ladder meets the error.\n"), 1;

    ask(best, best_relative);
    trajectory(out);
    errors(out, reference, &kelvin, &conversion);
    ask(best, best_relative);
    integrate(s.hours * 3600);
    long steps;
    CVodeGetNumSteps(cvode, &steps);
    printf("%g %ld %ld %g %g\n", best, steps, right_hand_sides, kelvin, conversion);
    for (int solves; fflush(stdout), scanf("%d", &solves) == 1;)
        printf("%.9g\n", least_seconds(solves, best, best_relative));
    return 0;
}
