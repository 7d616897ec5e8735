namespace StageView.Show.Cautions;

/// <summary>Joins moments in which something was so into spells.</summary>
internal sealed class Spells
{
    private readonly List<(double From, double To)> _all = [];

    public IReadOnlyList<(double From, double To)> All => _all;

    /// <param name="time">Show time, s, not before the last one.</param>
    /// <param name="before">The moment looked at before, s: a spell that reached it goes on.</param>
    public void Add(double time, double before)
    {
        if (_all.Count > 0 && _all[^1].To >= before)
        {
            _all[^1] = (_all[^1].From, time);
        }
        else
        {
            _all.Add((time, time));
        }
    }
}
