package asking

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/refusal"
)

// Names of what a form sends: the number of the question, and its answer, which is yes or no; a number
// of a sheet is sent once for every sheet, and not at all or empty for none.
const (
	questionField = "question"
	answerField   = "answer"
)

// Template defines "asking": what was told, how far it is, and a plain form for the
// question, set with a [Form]. A room that shows questions its own way sends the same fields.
const Template = `{{define "asking"}}
{{range .Told}}<p class="told">{{.}}</p>{{end}}
{{with .Bar}}<p><label for="asking-bar">{{.What}}</label></p>
<p><progress id="asking-bar" max="{{.Total}}" value="{{.Done}}">{{.Done}} of {{.Total}}</progress> {{.Done}} of {{.Total}}</p>{{end}}
{{with .Question}}<form method="post" action="{{$.Action}}"><input type="hidden" name="question" value="{{.Number}}">
{{if not .IsForSheets}}<p class="question"><strong>{{.Text}}</strong></p><p><button name="answer" value="yes">{{or $.Yes "Yes"}}</button> <button class="second" name="answer" value="no">{{or $.No "No"}}</button></p>
{{else}}<fieldset><legend>{{.Text}}</legend>
<p>{{range .Among}}<label class="sheet"><input type="checkbox" name="answer" value="{{.}}"> {{.}}</label> {{end}}</p>
</fieldset><p><button>Go on</button></p>{{end}}</form>{{end}}
{{end}}`

// Form is what the template "asking" is set with.
type Form struct {
	Now
	Action  string // where the answer is sent
	Yes, No string // what the buttons say; empty: Yes and No
}

// Take takes what a form brings: the answer to the question that is open. An answer to
// another question, or one that is none, is refused and changes nothing.
func (p *Person) Take(form url.Values) error {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	q := p.now.Question
	number, err := strconv.Atoi(form.Get(questionField))
	if q == nil || err != nil || number != q.Number {
		return refusal.Output.New("that question has been answered already").Advise("this page shows where it is now")
	}
	a, err := q.read(form[answerField])
	if err != nil {
		return err
	}
	p.answers <- a // has room for one, and is the only one
	p.now.Question, p.answers, p.now.Told = nil, nil, nil
	close(p.changed)
	p.changed = make(chan struct{})
	return nil
}

// read is what was said in answer to the question.
func (q Question) read(said []string) (a answer, err error) {
	if q.IsForSheets() {
		a.sheets, err = ReadSheets(said, q.Among)
		return a, err
	}
	switch strings.Join(said, "") {
	case "yes":
		return answer{yes: true}, nil
	case "no":
		return answer{}, nil
	}
	return answer{}, refusal.Use.New("the question wants a yes or a no")
}

// ReadSheets reads numbers of sheets that a form brings, each one of those given. An empty one stands for none,
// where that has to be chosen.
func ReadSheets(said []string, among []int) (sheets []int, err error) {
	for _, text := range said {
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil || !slices.Contains(among, n) {
			return nil, refusal.Use.New("there is no sheet %s among those that are asked about", strconv.Quote(text))
		}
		sheets = append(sheets, n)
	}
	return sheets, nil
}
