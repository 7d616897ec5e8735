using StageView.Light.Interreflection;
using StageView.Light.Moments;

namespace StageView.Live.Pictures;

/// <summary>
/// Light between matt surfaces, worked out beside the drawing: a picture at rest waits for its own moment's, one that moves takes the newest there is. One
/// caller at a time.
/// </summary>
/// <param name="alive">Is told now and then while a picture waits.</param>
internal sealed class MattBeside(Action alive)
{
    private static readonly TimeSpan Now = TimeSpan.FromMilliseconds(200);
    private readonly MattSolver _solver = new();
    private Moment? _of;
    private Task<MattLight>? _work;
    private MattLight? _newest;

    /// <param name="moment">What is drawn; it must not change afterwards.</param>
    /// <param name="wait">Whether to wait for the light of this moment; else that of an earlier one may be given, or null while there is none.</param>
    public MattLight? For(Moment moment, bool wait)
    {
        if (_work is { } work && (wait || work.IsCompleted))
        {
            while (!work.Wait(Now))
            {
                alive();
            }

            (_newest, _work) = (work.Result, null);
        }

        if (_work is null && !ReferenceEquals(_of, moment))
        {
            _of = moment;
            _work = Task.Run(() => _solver.Solve(moment));
            return wait ? For(moment, wait) : _newest;
        }

        return _newest;
    }
}
