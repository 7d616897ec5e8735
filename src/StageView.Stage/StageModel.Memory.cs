using StageView.Stage.Levels;
using StageView.Stage.State;

namespace StageView.Stage;

/// <remarks>
/// Going back in time starts from the last state put aside before that time instead of from the beginning. States are
/// copies, so the way there doesn't show in the result. At most 64 are kept: when there are more, every second one goes
/// and the distance doubles.
/// </remarks>
public sealed partial class StageModel
{
    private const int MostMemories = 64;
    private readonly List<Memory> _memories = [];
    private int _distance = 2048;

    private void Keep()
    {
        if (!_keepHistory || _applied % _distance != 0 || (_memories.Count > 0 && _memories[^1].Applied >= _applied))
        {
            return;
        }

        _memories.Add(new Memory(_applied, _folded, _levels.Copy(), [.. _runs.Select(r => r.Save())]));
        if (_memories.Count > MostMemories)
        {
            _distance *= 2;
            _memories.RemoveAll(m => m.Applied % _distance != 0);
        }
    }

    private void GoBack(double t)
    {
        var from = _memories.FindLast(m => m.Folded <= t && m.Applied <= _applied);
        if (from is null)
        {
            Restart();
            return;
        }

        (_applied, _folded) = (from.Applied, from.Folded);
        _levels.CopyFrom(from.Levels);
        for (var i = 0; i < _runs.Length; i++)
        {
            _runs[i].Load(from.Runs[i]);
        }
    }

    private sealed record Memory(int Applied, double Folded, LevelsNow Levels, RunMemory[] Runs);
}
