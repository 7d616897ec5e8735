namespace StageView.Stage.Content;

/// <summary>Order statistics without sorting.</summary>
internal static class Nth
{
    /// <summary>The n-th smallest, from 0; rearranges the values (C. A. R. Hoare, Algorithm 65: FIND, 1961).</summary>
    public static float Smallest(Span<float> values, int n)
    {
        var (low, high) = (0, values.Length - 1);
        while (low < high)
        {
            var pivot = values[n];
            var (i, j) = (low, high);
            while (i <= j)
            {
                while (values[i] < pivot)
                {
                    i++;
                }

                while (pivot < values[j])
                {
                    j--;
                }

                if (i <= j)
                {
                    (values[i], values[j]) = (values[j], values[i]);
                    i++;
                    j--;
                }
            }

            low = j < n ? i : low;
            high = n < i ? j : high;
        }

        return values[n];
    }
}
