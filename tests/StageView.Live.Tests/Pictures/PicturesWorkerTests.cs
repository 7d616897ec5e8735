using System.IO.Pipes;
using System.Text;
using StageView.Light.Moments;
using StageView.Live.Pictures;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Pictures;

/// <summary>What the drawing process says while it draws.</summary>
[Collection(LiveMachine.Name)]
public sealed class PicturesWorkerTests
{
    [Fact]
    public void While_a_first_picture_is_drawn_it_tells_that_it_gets_on()
    {
        Talk((wire, said) =>
        {
            wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(1, s_small)));
            Assert.Equal(PictureWord.Picture, said().Word);
        }, out var all, out _);
        Assert.Contains(PictureWord.Alive, all);
    }

    [Fact]
    public void A_fine_picture_is_given_up_when_it_is_overtaken_and_the_next_one_is_drawn()
    {
        Talk((wire, said) =>
        {
            wire.Send(PictureWord.GiveUp, PlainBytes.Of(1));
            wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(1, s_small)));
            var (word, payload) = said();
            Assert.Equal(1, PlainBytes.To<int>(payload));
            Assert.Equal(_software ? PictureWord.GivenUp : PictureWord.Picture, word);

            // A quick one is drawn to its end, and so is the next fine one.
            wire.Send(PictureWord.GiveUp, PlainBytes.Of(2));
            wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(2, s_small with { Quick = true })));
            Assert.Equal(PictureWord.Picture, said().Word);
            wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(3, s_small)));
            Assert.Equal(PictureWord.Picture, said().Word);
        }, out _, out _);
    }

    private static readonly Viewpoint s_small = Viewpoint.Start with { Width = 64, Height = 36 };
    private bool _software;

    /// <summary>Talks to a drawing process that has an empty moment.</summary>
    private void Talk(Action<PictureWire, Func<(PictureWord Word, byte[] Payload)>> talk, out List<PictureWord> all, out string renderer)
    {
        using var to = new AnonymousPipeServerStream(PipeDirection.Out);
        using var toEnd = new AnonymousPipeClientStream(PipeDirection.In, to.ClientSafePipeHandle);
        using var from = new AnonymousPipeServerStream(PipeDirection.In);
        using var fromEnd = new AnonymousPipeClientStream(PipeDirection.Out, from.ClientSafePipeHandle);
        using var worker = new PicturesWorker(toEnd, fromEnd, wantsWindow: false);
        var drawing = new Thread(() => worker.Run());
        drawing.Start();
        var wire = new PictureWire(from, to);
        Assert.True(wire.TryReceive(out var word, out var payload));
        renderer = Encoding.UTF8.GetString(payload.Span);
        if (word == PictureWord.Trouble)
        {
            Assert.Skip(renderer);
        }

        Assert.Equal(PictureWord.Hello, word);
        _software = (payload.Span[0] & 2) != 0;
        byte[] moment = [];
        var length = MomentBytes.Write(new Moment(), ref moment);
        wire.Send(PictureWord.Moment, PlainBytes.Of(new MomentHead(1, 1, 0, 0, -1, 0)), moment.AsSpan(0, length));
        var said = all = [];
        try
        {
            talk(wire, () =>
            {
                while (wire.TryReceive(out var next, out var bytes))
                {
                    said.Add(next);
                    if (next is PictureWord.Picture or PictureWord.GivenUp or PictureWord.Trouble)
                    {
                        return (next, bytes.ToArray());
                    }
                }

                return default;
            });
        }
        finally
        {
            to.Dispose();
            drawing.Join();
        }
    }
}
