using StageView.Stage.Programs;

namespace StageView.Stage.State;

/// <summary>What channels choose for others: dimmer curves; and what goes on changing by itself.</summary>
internal sealed partial class FixtureRun
{
    /// <summary>Dimmers run along the curve that is chosen, unless their profile states a response of its own.</summary>
    private void Bend()
    {
        foreach (var (chooser, dimmers) in Program.DimmerCurves)
        {
            if (FunctionOf(chooser) is not { Op: AttributeOp.DimmerCurve } f || f.Response(Sets[chooser]) is not { } response)
            {
                continue;
            }

            foreach (var c in dimmers)
            {
                if (FunctionOf(c) is { Op: AttributeOp.Dimmer, FollowsCurve: true } && !Program.Channels[c].StandsOpen)
                {
                    Physical[c] = response.At(Physical[c]);
                }
            }
        }
    }

    private bool ChoosesAtRandom()
    {
        foreach (var c in Program.RandomWheels)
        {
            if (FunctionOf(c) is { Op: AttributeOp.ColourWheelRandom or AttributeOp.GoboWheelRandom } && Physical[c] > 0)
            {
                return true;
            }
        }

        return false;
    }
}
