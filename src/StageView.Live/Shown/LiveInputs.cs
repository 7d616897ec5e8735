using StageView.Rig.Pieces;
using StageView.Show.Content;

namespace StageView.Live.Shown;

/// <summary>The live inputs that are open: one reader each, whoever shows it, since most devices can be read once only.</summary>
internal sealed class LiveInputs(TimeProvider clock)
{
    private readonly Lock _gate = new();
    private readonly Dictionary<ContentInput, (LiveInput Input, int Users)> _open = [];

    /// <summary>Opens it, or takes part in what is open; to be left again.</summary>
    public LiveInput Take(ContentInput input)
    {
        lock (_gate)
        {
            var (open, users) = _open.TryGetValue(input, out var found) ? found : (new LiveInput(input, clock), 0);
            _open[input] = (open, users + 1);
            return open;
        }
    }

    /// <summary>Closes it behind the last who took it.</summary>
    public void Leave(ContentInput input)
    {
        LiveInput? last = null;
        lock (_gate)
        {
            var (open, users) = _open[input];
            if (users > 1)
            {
                _open[input] = (open, users - 1);
            }
            else
            {
                _open.Remove(input);
                last = open;
            }
        }

        last?.Dispose();
    }
}
