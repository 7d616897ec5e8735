namespace StageView.Light.Photometry.Ies;

/// <summary>Fills in what an LM-63 file leaves out by symmetry and turns types A and B into polar angle and azimuth.</summary>
internal static class IesSymmetry
{
    /// <summary>Angles in degrees; candelas by horizontal, then vertical angle.</summary>
    public static bool TryExpand(
        double type, double[] vertical, double[] horizontal, double[][] candela, List<string> notes,
        out double[] polar, out double[] azimuth, out double[][] full, out string reason)
    {
        reason = "";
        (polar, azimuth, full) = (vertical, horizontal, candela);
        if (type == 1)
        {
            if (vertical[0] < 0 || vertical[^1] > 180)
            {
                reason = $"type C vertical angles must lie between 0 and 180°, not {vertical[0]} to {vertical[^1]}°";
                return false;
            }

            return TypeC(ref azimuth, ref full, notes, out reason);
        }

        if (vertical[0] < -90 || vertical[^1] > 90 || horizontal[0] < -180 || horizontal[^1] > 180)
        {
            reason =
                $"type A and B angles must lie between -90 and 90° (vertical) and -180 and 180° (horizontal), not {vertical[0]} to {vertical[^1]}° and "
                + $"{horizontal[0]} to {horizontal[^1]}°";
            return false;
        }

        TypeAB(type == 3, vertical, horizontal, candela, notes, out polar, out azimuth, out full);
        return true;
    }

    private static bool TypeC(ref double[] azimuth, ref double[][] full, List<string> notes, out string reason)
    {
        reason = "";
        var (first, last) = (azimuth[0], azimuth[^1]);
        if (azimuth.Length == 1 || last == 0)
        {
            azimuth = [0];
            full = [full[0]];
            return true;
        }

        var planes = new SortedDictionary<double, double[]>();
        for (var j = 0; j < azimuth.Length; j++)
        {
            var (a, plane) = (azimuth[j], full[j]);
            double[] images = (first, last) switch
            {
                (0, 90) => [a, 180 - a, 180 + a, 360 - a],
                (0, 180) => [a, 360 - a],
                (90, 270) => [a, 180 - a],
                _ => [a],
            };
            foreach (var image in images)
            {
                planes.TryAdd(WebBuilder.Turn(image), plane);
            }
        }

        if ((first, last) is not ((0, 90) or (0, 180) or (90, 270) or (0, 360)))
        {
            if (first != 0 || last < 180)
            {
                reason = $"type C horizontal angles from {first} to {last}°: 0 to 0, 90, 180 or 360, or 90 to 270 expected";
                return false;
            }

            notes.Add($"horizontal angles end at {last}°; the gap up to 360° is interpolated");
        }

        azimuth = [.. planes.Keys];
        full = [.. planes.Values];
        return true;
    }

    private static void TypeAB(
        bool typeA, double[] vertical, double[] horizontal, double[][] candela, List<string> notes,
        out double[] polar, out double[] azimuth, out double[][] full)
    {
        var halfH = horizontal[0] >= 0;
        var halfV = vertical[0] >= 0;
        if (halfV && vertical.Length > 1)
        {
            notes.Add("vertical angles start at 0: the other half is taken as alike");
        }

        var step = Math.Clamp(Math.Min(Finest(vertical), Finest(horizontal)), 0.25, 5);
        polar = [.. Enumerable.Range(0, (int)Math.Round(90 / step) + 1).Select(i => Math.Min(90, i * step))];
        azimuth = [.. Enumerable.Range(0, 72).Select(i => i * 5.0)];
        full = new double[azimuth.Length][];
        for (var j = 0; j < azimuth.Length; j++)
        {
            full[j] = new double[polar.Length];
            var (sinA, cosA) = Math.SinCos(azimuth[j] * Math.PI / 180);
            for (var i = 0; i < polar.Length; i++)
            {
                var (sinP, cosP) = Math.SinCos(polar[i] * Math.PI / 180);
                var (x, y, axis) = (sinP * cosA, sinP * sinA, cosP);
                var (h, v) = typeA
                    ? (Math.Atan2(x, axis), Math.Asin(Math.Clamp(y, -1, 1)))
                    : (Math.Asin(Math.Clamp(x, -1, 1)), Math.Atan2(y, axis));
                (h, v) = (h * 180 / Math.PI, v * 180 / Math.PI);
                full[j][i] = Bilinear(horizontal, vertical, candela, halfH ? Math.Abs(h) : h, halfV ? Math.Abs(v) : v);
            }
        }
    }

    private static double Finest(double[] angles)
    {
        var finest = 5.0;
        for (var i = 1; i < angles.Length; i++)
        {
            finest = Math.Min(finest, angles[i] - angles[i - 1]);
        }

        return finest;
    }

    private static double Bilinear(double[] hs, double[] vs, double[][] candela, double h, double v)
    {
        const double slack = 1e-9;
        if (h < hs[0] - slack || h > hs[^1] + slack || v < vs[0] - slack || v > vs[^1] + slack)
        {
            return 0;
        }

        var (j, fj) = Place(hs, h);
        var (i, fi) = Place(vs, v);
        var (j1, i1) = (Math.Min(j + 1, hs.Length - 1), Math.Min(i + 1, vs.Length - 1));
        return ((1 - fj) * (((1 - fi) * candela[j][i]) + (fi * candela[j][i1]))) + (fj * (((1 - fi) * candela[j1][i]) + (fi * candela[j1][i1])));
    }

    private static (int Index, double Share) Place(double[] angles, double angle)
    {
        var i = Array.BinarySearch(angles, angle);
        i = i >= 0 ? i : Math.Max(0, ~i - 1);
        return i >= angles.Length - 1 ? (angles.Length - 1, 0) : (i, Math.Clamp((angle - angles[i]) / (angles[i + 1] - angles[i]), 0, 1));
    }
}
