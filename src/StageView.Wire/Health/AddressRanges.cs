using System.Globalization;
using System.Text;

namespace StageView.Wire.Health;

/// <summary>Writes addresses as ranges: <c>1-8, 12, 101-140</c>.</summary>
public static class AddressRanges
{
    /// <param name="addresses">Sorted, each once.</param>
    /// <param name="most">Ranges at most; the rest is counted.</param>
    public static string Write(IReadOnlyList<int> addresses, int most = 8)
    {
        ArgumentNullException.ThrowIfNull(addresses);
        var text = new StringBuilder();
        var written = 0;
        var i = 0;
        while (i < addresses.Count && written < most)
        {
            var first = i;
            while (i + 1 < addresses.Count && addresses[i + 1] == addresses[i] + 1)
            {
                i++;
            }

            text.Append(text.Length > 0 ? ", " : "").Append(CultureInfo.InvariantCulture, $"{addresses[first]}");
            if (i > first)
            {
                text.Append(CultureInfo.InvariantCulture, $"-{addresses[i]}");
            }

            written++;
            i++;
        }

        return i < addresses.Count ? text.Append(CultureInfo.InvariantCulture, $" and {addresses.Count - i} more").ToString() : text.ToString();
    }
}
