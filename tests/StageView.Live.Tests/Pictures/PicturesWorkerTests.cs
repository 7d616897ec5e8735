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
        using var to = new AnonymousPipeServerStream(PipeDirection.Out);
        using var toEnd = new AnonymousPipeClientStream(PipeDirection.In, to.ClientSafePipeHandle);
        using var from = new AnonymousPipeServerStream(PipeDirection.In);
        using var fromEnd = new AnonymousPipeClientStream(PipeDirection.Out, from.ClientSafePipeHandle);
        using var worker = new PicturesWorker(toEnd, fromEnd, wantsWindow: false);
        var drawing = new Thread(() => worker.Run());
        drawing.Start();
        var wire = new PictureWire(from, to);
        Assert.True(wire.TryReceive(out var word, out var payload));
        if (word == PictureWord.Trouble)
        {
            Assert.Skip(Encoding.UTF8.GetString(payload.Span));
        }

        Assert.Equal(PictureWord.Hello, word);
        byte[] moment = [];
        var length = MomentBytes.Write(new Moment(), ref moment);
        wire.Send(PictureWord.Moment, PlainBytes.Of(new MomentHead(1, 1, 0, 0, -1, 0)), moment.AsSpan(0, length));
        wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(1, Viewpoint.Start with { Width = 64, Height = 36 })));
        var said = new List<PictureWord>();
        while (said.LastOrDefault() != PictureWord.Picture && wire.TryReceive(out word, out _))
        {
            said.Add(word);
        }

        to.Dispose();
        drawing.Join();
        Assert.Equal(PictureWord.Picture, said[^1]);
        Assert.Contains(PictureWord.Alive, said);
    }
}
