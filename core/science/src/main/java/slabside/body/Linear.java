package slabside.body;

/** Small systems of equations. */
final class Linear {
    private Linear() {}

    /**
     * By elimination with pivots.
     *
     * @param system rows of coefficients, the right side last; is changed
     */
    static double[] solved(double[][] system) {
        int n = system.length;
        for (int column = 0; column < n; column++) {
            int pivot = column;
            for (int row = column + 1; row < n; row++) {
                pivot = Math.abs(system[row][column]) > Math.abs(system[pivot][column]) ? row : pivot;
            }
            double[] swapped = system[pivot];
            system[pivot] = system[column];
            system[column] = swapped;
            for (int row = 0; row < n; row++) {
                double factor = row == column ? 0 : system[row][column] / swapped[column];
                for (int k = column; k <= n; k++) {
                    system[row][k] -= factor * swapped[k];
                }
            }
        }
        double[] solution = new double[n];
        for (int i = 0; i < n; i++) {
            solution[i] = system[i][n] / system[i][i];
        }
        return solution;
    }
}
