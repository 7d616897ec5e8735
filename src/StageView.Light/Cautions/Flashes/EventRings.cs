namespace StageView.Light.Cautions.Flashes;

/// <summary>The times of the last rises and falls of many places, in constant memory.</summary>
internal sealed class EventRings(int places)
{
    /// <summary>So many are kept of each; more than that in a second are told as that many.</summary>
    public const int Kept = 32;

    /// <summary>The second is open at its start: what recurs n times a second is n times in it, whatever the rounding of times, s.</summary>
    private const double Rounding = 1e-6;

    private readonly Ring _rises = new(places);
    private readonly Ring _falls = new(places);

    /// <summary>Notes a rise (1) or a fall (-1).</summary>
    public void Add(int place, int sign, double seconds) => (sign > 0 ? _rises : _falls).Add(place, seconds);

    /// <summary>Whole flashes, pairs of a rise and a fall, within the second that ends now.</summary>
    public int Flashes(int place, double now) => Math.Min(_rises.Since(place, now - 1 + Rounding), _falls.Since(place, now - 1 + Rounding));

    /// <summary>Rises a second by the mean time between those of the second that ends now; 0 for fewer than two.</summary>
    public double Rate(int place, double now)
    {
        var n = _rises.Since(place, now - 1 + Rounding);
        return n < 2 ? 0 : (n - 1) / (_rises.Back(place, 0) - _rises.Back(place, n - 1));
    }

    /// <summary>The earliest rise or fall of the second that ends now.</summary>
    public double Earliest(int place, double now) => Math.Min(_rises.First(place, now), _falls.First(place, now));

    private sealed class Ring(int places)
    {
        private readonly double[] _times = new double[places * Kept];
        private readonly int[] _count = new int[places];

        public void Add(int place, double seconds) => _times[(place * Kept) + (_count[place]++ & (Kept - 1))] = seconds;

        /// <summary>The time of the event so many before the last one.</summary>
        public double Back(int place, int back) => _times[(place * Kept) + ((_count[place] - 1 - back) & (Kept - 1))];

        public int Since(int place, double seconds)
        {
            var (n, most) = (0, Math.Min(_count[place], Kept));
            while (n < most && Back(place, n) >= seconds)
            {
                n++;
            }

            return n;
        }

        public double First(int place, double now)
        {
            var n = Since(place, now - 1 + Rounding);
            return n == 0 ? now : Back(place, n - 1);
        }
    }
}
